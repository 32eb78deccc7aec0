"""One thing wrong with one part: the list of faults, the faulted circuits, what each does."""
