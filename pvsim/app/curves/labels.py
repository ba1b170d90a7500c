"""What has a name in the curves' figures, as the browser gets it, which finds the places."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pvsim.app.curves.choice import Choice, figures_of
from pvsim.circuit import PowerPoint
from pvsim.files.figure.key_points import KeyPoint, Named, named
from pvsim.files.figure.model import Label
from pvsim.reading.axes import Axes

__all__ = ["held_shown", "named_shown"]


def named_shown(
    points: Sequence[KeyPoint], choice: Choice, axes: Axes, change: Named
) -> dict[str, dict[str, list[Any]]]:
    """What has a name in each figure that is seen; none is where there are tables.

    Parameters
    ----------
    points : sequence of KeyPoint
        Of the curves and of what holds them.
    choice : Choice
    axes : Axes
    change : Named
        What is named of the difference.
    """
    return {
        figure: _plain(change if figure == "difference" else named(points, figure, axes=axes))
        for figure in (figures_of(choice) if choice.view != "table" else ())
    }


def held_shown(points: Sequence[PowerPoint]) -> list[dict[str, float]]:
    """The points held, which a hand can move."""
    return [{"V": one.voltage_V, "I": one.current_A, "P": one.power_W} for one in points]


def _plain(shown: Named) -> dict[str, list[Any]]:
    return {
        "points": [(one.x, one.y, one.radius, one.hollow) for one in shown.points],
        "labels": [_label(one) for one in shown.labels],
    }


def _label(one: Label) -> dict[str, Any]:
    found: dict[str, Any] = {"x": one.x, "y": one.y, "text": one.text, "role": one.role, "prefer": one.prefer}
    if one.must:
        found["must"] = True
    if one.alone:
        found["alone"] = True
    if one.symbol[0]:
        found["symbol"] = one.symbol
    return found
