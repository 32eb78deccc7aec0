"""Diagnosis and effects of faults in words and files."""
