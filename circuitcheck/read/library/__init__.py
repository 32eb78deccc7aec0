"""The library folder and a user's own rows."""
