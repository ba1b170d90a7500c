"""The search for a hidden fault: cases, what one can do and in what order, and how it went."""
