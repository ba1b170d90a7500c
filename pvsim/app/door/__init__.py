"""The door: who may come in from outside, how many at once, and what a page may say to the server.

Everything here is decided from what arrived alone; `pvsim.app.mends` hangs it into the server.
"""
