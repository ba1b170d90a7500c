"""The measured curve that comes with pvsim: an invented one, to try things with."""

from __future__ import annotations

from pvsim.shipped import shipped

__all__ = ["INVENTED", "INVENTED_NAME", "invented_bytes"]

INVENTED_NAME = "invented-module"
INVENTED = f"{INVENTED_NAME}.csv"  # of a module of type full-60, with one cell in half shade


def invented_bytes() -> bytes:
    """The file as a tracer would have written it."""
    return (shipped("curves") / INVENTED).read_bytes()
