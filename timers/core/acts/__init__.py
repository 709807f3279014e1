"""What acts, products and routes must hold to be kept."""
