"""Where leads leave the modules, and which modules reach each other with them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.cabling.checks import FARTHEST_m, Floats, Ints, Truths, frozen, number, one_point, points
from pvsim.errors import CablingError
from pvsim.prompt import summary
from pvsim.words import _

__all__ = [
    "Terminals",
    "extension_lengths_m",
    "home_run_corners",
    "home_run_lengths_m",
    "lead_distances_m",
    "reaches",
]

LONGEST_LEAD_m = 100.0
ROUNDING_m = 1e-9  # of coordinates: what is so little too far still reaches


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Terminals:
    """Junction boxes and leads of n modules. A plus connector joins a minus one only.

    Parameters
    ----------
    minus_m, plus_m : (n, 2) or (n, 3)
        Where the minus and the plus lead leave each module, in m; one point where both leave the same
        box, two where a module has a box at each side.
    minus_lead_m, plus_lead_m : (n,)
        Length of the leads, connector included, in m; one number for all alike.
    slack_m : float
        What every run of cable has to have over its straight length, for bends and for fastening.
        0.1 m: common practice, no source.
    step_m : float
        Bought cable is cut to whole steps, rounded up. 0.1 m: common practice, no source.
    row_direction : (n, 2) or (n, 3)
        Along which way the rows run; one direction for all alike. Made to length 1. Cables to the box
        are laid along it and square to it.

    Raises
    ------
    CablingError
        If a shape does not fit, or a number lies outside its bounds.
    """

    minus_m: Floats
    plus_m: Floats
    minus_lead_m: Floats
    plus_lead_m: Floats
    slack_m: float = 0.1
    step_m: float = 0.1
    row_direction: Floats | None = None

    __repr__ = summary

    def __post_init__(self) -> None:
        minus = points("minus_m", self.minus_m)
        put = object.__setattr__
        put(self, "minus_m", minus)
        plus = points("plus_m", self.plus_m)
        put(self, "plus_m", frozen("plus_m", plus, minus.shape, least=-FARTHEST_m, most=FARTHEST_m))
        for name in ("minus_lead_m", "plus_lead_m"):
            lengths = frozen(name, getattr(self, name), minus.shape[:1], least=0.0, most=LONGEST_LEAD_m)
            put(self, name, lengths)
        put(self, "slack_m", number("slack_m", self.slack_m, least=0.0, most=LONGEST_LEAD_m))
        put(self, "step_m", number("step_m", self.step_m, least=0.001, most=LONGEST_LEAD_m))
        put(self, "row_direction", _unit_directions(self.row_direction, minus.shape))


def _unit_directions(given: object, shape: tuple[int, ...]) -> Floats:
    along = (1.0, 0.0, 0.0)[: shape[1]] if given is None else given
    found = frozen("row_direction", along, shape, least=-FARTHEST_m, most=FARTHEST_m)
    size = np.linalg.norm(found, axis=1, keepdims=True)
    if (size < ROUNDING_m).any():
        raise CablingError(
            _("a direction of the rows has no length"),
            expected=_("a direction that is not 0"),
            mend=_("Leave row_direction out where rows run along x"),
        )
    unit: Floats = found / size
    unit.flags.writeable = False
    return unit


def lead_distances_m(terminals: Terminals) -> Floats:
    """Straight distances from where each plus lead leaves to where each minus lead does, (n, n), in m."""
    every = np.arange(len(terminals.minus_m))
    return distances_between_m(terminals, every[:, None], every[None, :])


def distances_between_m(terminals: Terminals, plus_of: Ints, minus_of: Ints) -> Floats:
    """Straight distances from plus leads to minus leads of modules given by index, in m."""
    between = terminals.plus_m[plus_of] - terminals.minus_m[minus_of]
    distance: Floats = np.sqrt((between * between).sum(axis=-1))
    return distance


def steps_between(terminals: Terminals, plus_of: Ints, minus_of: Ints) -> Ints:
    """Steps of cable that plus leads and minus leads of modules given by index lack; 0 where they reach."""
    leads = terminals.plus_lead_m[plus_of] + terminals.minus_lead_m[minus_of]
    missing = distances_between_m(terminals, plus_of, minus_of) + terminals.slack_m - leads
    return _steps(missing, terminals.step_m)


def missing_steps(terminals: Terminals) -> Ints:
    """Steps of cable that plus lead i and minus lead j lack, (n, n); 0 where they reach."""
    every = np.arange(len(terminals.minus_m))
    return steps_between(terminals, every[:, None], every[None, :])


def reaches(terminals: Terminals) -> Truths:
    """Whether plus lead i reaches minus lead j, (n, n): distance and slack are no more than both leads.

    A module does not reach itself, however long its leads.
    """
    reach: Truths = missing_steps(terminals) == 0
    np.fill_diagonal(reach, False)
    return reach


def extension_lengths_m(terminals: Terminals) -> Floats:
    """Length of the extension cable from plus lead i to minus lead j, (n, n), in m; 0 where they reach.

    What is missing, rounded up to a step. An extension has a connector at each end: two pairs, not one.
    """
    return missing_steps(terminals).astype(float) * terminals.step_m


def home_run_corners(terminals: Terminals, box_m: object) -> tuple[Floats, Floats, Floats]:
    """Where cables from the modules' minus and plus leads to the box turn, and the box.

    Returns
    -------
    (n, d), (n, d), (d,)
        Corners of the runs from minus leads, from plus leads, and the box, in m.

    Notes
    -----
    Laid along the row as far as the box, then square to it: on a plane roof along its columns. So both
    cables of a string share the second part, which keeps the loop small. Common practice, no source.
    """
    box = one_point("box_m", box_m, terminals.minus_m.shape[1])
    along = terminals.row_direction
    assert along is not None
    corners = [
        ends + ((box - ends) * along).sum(axis=1, keepdims=True) * along
        for ends in (terminals.minus_m, terminals.plus_m)
    ]
    return corners[0], corners[1], box


def home_run_steps(terminals: Terminals, box_m: object) -> tuple[Ints, Ints]:
    """Steps of cable from minus and from plus leads to the box, (n,) each; 0 where the lead reaches."""
    minus_corners, plus_corners, box = home_run_corners(terminals, box_m)
    steps = []
    for ends, corners, leads in (
        (terminals.minus_m, minus_corners, terminals.minus_lead_m),
        (terminals.plus_m, plus_corners, terminals.plus_lead_m),
    ):
        laid = np.linalg.norm(corners - ends, axis=1) + np.linalg.norm(box - corners, axis=1)
        steps.append(_steps(laid + terminals.slack_m - leads, terminals.step_m))
    return steps[0], steps[1]


def home_run_lengths_m(terminals: Terminals, box_m: object) -> tuple[Floats, Floats]:
    """Length of cable from minus and from plus leads to the box, (n,) each, in m; 0 where the lead reaches.

    The way along row and column and the slack, less the lead, rounded up to a step.
    """
    minus, plus = home_run_steps(terminals, box_m)
    return minus.astype(float) * terminals.step_m, plus.astype(float) * terminals.step_m


def _steps(missing_m: Floats, step_m: float) -> Ints:
    """Whole steps that cover a length; none where nothing is missing."""
    steps: Ints = np.maximum(np.ceil((missing_m - ROUNDING_m) / step_m), 0.0).astype(np.int64)
    return steps
