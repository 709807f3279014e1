"""The stream that says that a shop moved."""
