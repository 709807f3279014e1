"""Pure rules: no clock, no I/O, time is an argument.

Every module has a twin of the same name in static/js/core, but for types (shapes.py, states.py) and for the rows that
describe acts and sheets: the phone gets those as one script that is made of them (timers/schema_script.py).
"""
