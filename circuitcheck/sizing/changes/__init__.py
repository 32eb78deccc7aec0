"""What a builder could change, one kind of change per file; each gives ladders of steps."""
