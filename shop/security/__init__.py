"""Who asks, from where, and what is refused."""
