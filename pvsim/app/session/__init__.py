"""What a page knows: the state of one session, its history, and what it says of it."""
