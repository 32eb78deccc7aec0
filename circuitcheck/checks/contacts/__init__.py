"""Checks on contacts of switches, relays and connectors, and on what works a relay."""
