"""The drawing of the roof: what is sent to it, and what it asks for."""
