"""Solving one network: nodes removed one by one by star-mesh transformation."""
