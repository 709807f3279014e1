"""The shelf as a table and clocks as a calendar file."""
