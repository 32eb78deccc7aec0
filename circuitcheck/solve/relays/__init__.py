"""Which relays are pulled in, and whether every machine agrees."""
