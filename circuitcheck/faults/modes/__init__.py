"""What can go wrong with each kind of part, one file per kind; wires and battery included."""
