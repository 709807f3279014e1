"""Simulated phones on a bad network."""
