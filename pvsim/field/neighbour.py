"""Who a place is compared with: the next string, or the next module of its string."""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.place import Place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.field.probe import Probe
from pvsim.words import _

__all__ = ["check_neighbour", "neighbour_of"]


def neighbour_of(solution: ArraySolution, place: Place) -> Place | None:
    """The next string, or the next module of the string, the first after the last; None where there is none.

    Parameters
    ----------
    place : Place
        A string or a module; the whole array has no neighbour.
    """
    strings = solution.index.strings
    if place.string is None:
        return None
    if place.module is None:
        other = replace(place, string=place.string % len(strings) + 1)
    else:
        other = replace(place, module=place.module % len(strings[place.string - 1].modules) + 1)
    return None if other == place else other


def check_neighbour(probe: Probe, neighbour: Probe) -> None:
    """Refuse what cannot be compared: another quantity, another level, the same place.

    Raises
    ------
    ScenarioError
    """
    alike = probe.what == neighbour.what and level_of(probe.place) == level_of(neighbour.place)
    if not alike or probe.place == neighbour.place:
        raise ScenarioError(
            _("a neighbour is to be compared that is none"),
            expected=_("the same thing, measured at another place of the same level"),
            mend=_("Take the next string or module, and the same meter"),
        )
