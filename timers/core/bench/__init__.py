"""Figures for the mixing bench: parts, coverage, solvent, grits."""
