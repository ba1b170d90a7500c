"""What is seen: each view takes a State, offers `root`, and knows no other view."""
