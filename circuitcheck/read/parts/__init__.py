"""Parts from their fields, and the rules of those fields."""
