"""Catalogues of translated words, one folder a language, and what refreshes them (pvsim.locale.refresh)."""
