"""The server process: connections, bodies, one thread from a whole body to the answer."""
