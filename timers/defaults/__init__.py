"""The shelf and the routes that a shop starts with."""
