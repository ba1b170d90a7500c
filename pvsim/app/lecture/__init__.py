"""A lecture on the page: held, rehearsed, replayed."""
