"""Numbers and small tables as text for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from pvsim.numbers import significant


def number(value: float) -> str:
    """A number with five significant digits."""
    return significant(value, 5)


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, most: int = 60) -> list[str]:
    """Lines of a table, first column to the left and the others to the right.

    Parameters
    ----------
    head : sequence of str
        Column names, with their units.
    rows : sequence of sequence of str
        As many texts each.
    most : int
        Rows shown; the rest is counted in a last line.
    """
    shown = [head, *rows[:most]]
    widths = [max(len(row[k]) for row in shown) for k in range(len(head))]
    lines = [
        "  "
        + "  ".join(
            text.rjust(w) if k else text.ljust(w) for k, (text, w) in enumerate(zip(row, widths, strict=True))
        )
        for row in shown
    ]
    if len(rows) > most:
        lines.append(f"  and {len(rows) - most:,} more; --json gives all of them")
    return [line.rstrip() for line in lines]


def plural(count: int, word: str) -> str:
    """A count and its word, such as "2 strings"."""
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
