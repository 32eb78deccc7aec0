"""Dead shorts: weakest and strongest current."""
