"""Switching on and off in words and files."""
