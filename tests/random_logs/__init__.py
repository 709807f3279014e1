"""Random acts from a seed: plain ones and hostile ones."""
