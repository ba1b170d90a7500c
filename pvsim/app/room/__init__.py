"""A class: the lecturer's side of it, its phones, its notes window, and the hub between them."""
