"""How a value may be written."""
