"""Web push: one message to one phone."""
