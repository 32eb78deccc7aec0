"""The verdict of a check: as data, text, JSON; workings; many in one table."""
