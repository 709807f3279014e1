"""What cards say at a moment, and what is to ring."""
