"""The phones of a shop: roles, and how one more joins."""
