"""Sourced functions of the physics: plain numbers in, plain numbers out."""
