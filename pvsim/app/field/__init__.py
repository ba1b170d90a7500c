"""The field desk: instruments and switches, the log of what they read, and the search for a fault."""
