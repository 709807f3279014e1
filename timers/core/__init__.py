"""Pure rules: no clock, no I/O, time is an argument.

Every module has a twin of the same path in static/js/core.
Two have none: types, and rows that describe acts and sheets, which the phone gets as a script made of them.
"""
