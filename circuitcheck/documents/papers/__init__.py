"""Papers of the workshop: lists, tables, labels, cards."""
