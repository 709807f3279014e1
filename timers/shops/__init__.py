"""How a shop starts: sign-up, and the demo shop."""
