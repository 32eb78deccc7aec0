"""Certified bounds over a box of resistances, temperatures and supply."""
