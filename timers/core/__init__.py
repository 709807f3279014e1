"""Pure rules: no clock, no I/O, time is an argument.  Every module has a twin of the same name in static/js/core."""
