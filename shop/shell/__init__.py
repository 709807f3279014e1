"""What a phone keeps to start without a signal."""
