"""The page: one State per session, views that read it, and the server that hands it out."""
