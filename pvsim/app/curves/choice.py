"""What a person chose to see of the curves, and the picture that is worked out of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from pvsim.app.words import _
from pvsim.circuit import Characteristic
from pvsim.reading.axes import Axes, Span
from pvsim.reading.construction import Stage
from pvsim.reading.difference import Difference, Quantity

__all__ = ["NO_LINES", "Choice", "Kind", "Picture", "chosen_shown", "figures_of", "flat_span"]

Kind = Literal["current", "power", "difference"]

NO_LINES: dict[str, Any] = {"xs": [], "ys": [], "colour": [], "dash": []}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What the person chose to see.

    Parameters
    ----------
    view : str
        One of CURVE_VIEWS, in pvsim.app.session.parameters.
    quantity : "power" or "current"
        Of the difference.
    reverse : bool or None
        Show the reverse quadrant; None shows it when the part is held there.
    stage : str
        "series" or "parallel" step of the construction; "" for the last one there is.
    cursor : float or None
        Where the construction is cut, in A or V; None where the part is held.
    fitted : Axes or None
        Axes in place of those of the unbroken part.
    cables : bool
        Tell of cables too; not while they would answer a prediction.
    notices : bool
        Tell what meters would notice; not while a prediction waits or something is kept back for one.
    large : bool
        Large type.
    """

    view: str = "curves"
    quantity: Quantity = "power"
    reverse: bool | None = None
    stage: str = ""
    cursor: float | None = None
    fitted: Axes | None = None
    cables: bool = True
    notices: bool = True
    large: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What is drawn.

    Parameters
    ----------
    now, before : tuple of Characteristic
        One of a part; one a tracker of an array whose strings have a tracker each. None of before
        where there is nothing to compare with.
    change : tuple of Difference
        Between them, where it is shown.
    axes, delta : Axes, Span
        Ranges of the figures, and of the difference.
    figures : tuple of Kind
        Which of "current", "power", "difference" are seen.
    sentences : dict
        What each figure shows, in words.
    stage, lines : Stage or None, dict
        The step of the construction, and its parts' curves.
    shown : dict
        All the rest, as the browser gets it.
    """

    now: tuple[Characteristic, ...]
    before: tuple[Characteristic, ...]
    change: tuple[Difference, ...]
    axes: Axes
    delta: Span
    figures: tuple[Kind, ...]
    sentences: dict[str, str]
    stage: Stage | None = None
    lines: dict[str, Any] = field(default_factory=lambda: NO_LINES)
    shown: dict[str, Any] = field(default_factory=dict)


def figures_of(choice: Choice) -> tuple[Kind, ...]:
    """The figures a view shows, from the top."""
    if choice.view == "difference":
        return (choice.quantity, "difference")
    return ("current",) if choice.view == "parts" else ("current", "power")


def chosen_shown(choice: Choice, level: str, axes: Axes, delta: Span, *, reverse: bool) -> dict[str, Any]:
    """What the browser gets of any picture: the choice itself, and the ranges of its figures."""
    return {
        "level": level,
        "view": choice.view,
        "quantity": choice.quantity,
        "figures": figures_of(choice),
        "titles": {"current": _("current in A"), "power": _("power in W")},
        "brief": {"current": _("current in A"), "power": _("power in W")},
        "reverse": reverse,
        "fitted": choice.fitted is not None,
        "axes": {"V": axes.voltage_V, "I": axes.current_A, "P": axes.power_W, "D": delta},
        "load": None,
        "parts": None,
        "partsNote": "",
        "tables": [],
        "notice": None,
    }


def flat_span(choice: Choice, axes: Axes) -> Span:
    """The range of a difference that there is not: as wide as that of the curve itself."""
    least, most = axes.power_W if choice.quantity == "power" else axes.current_A
    return -0.5 * (most - least), 0.5 * (most - least)
