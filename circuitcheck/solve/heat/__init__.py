"""How hot windings get by their use."""
