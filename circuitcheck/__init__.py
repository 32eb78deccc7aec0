"""Checks, documents and diagnoses an added solenoid circuit on a 12 V or 24 V machine."""
