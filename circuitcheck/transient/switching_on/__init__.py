"""Actions followed in time: stages, circuits reduced to ports, currents, figures."""
