"""A data sheet typed in the page: its fields, what follows from them, the module that goes on the roof."""
