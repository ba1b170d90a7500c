"""Numbers as short text for figures and terminals."""

from __future__ import annotations

from math import floor, log10

from pvsim.words import decimal_mark


def number(value: float, digits: int = 4) -> str:
    """A number with so many significant digits and no power of ten in everyday ranges.

    >>> number(312.44), number(12345.6), number(-0.001234)
    ('312.4', '12350', '-0.001234')
    """
    if abs(value) < 1e-9:
        return "0"
    places = digits - 1 - floor(log10(abs(value)))
    if places > digits + 4 or places < -4:
        return f"{value:.{digits - 1}e}".replace(".", decimal_mark())
    return f"{round(value, places):.{max(0, places)}f}".replace(".", decimal_mark())


def peer(value: float, scale: float, digits: int = 4) -> str:
    """A number with the decimals its larger peer has with so many significant digits.

    >>> peer(85.82, 223.66), peer(9.9871, 10.9)
    ('85.8', '9.99')
    """
    if abs(scale) < 1e-9:
        return number(value, digits)
    places = digits - 1 - floor(log10(abs(scale)))
    return f"{round(value, places):.{max(0, places)}f}".replace(".", decimal_mark())
