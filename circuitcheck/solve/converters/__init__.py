"""Converters: a second source, and the load that feeds it."""
