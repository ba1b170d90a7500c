"""The cables of a wiring: leads, extensions and runs to the box, by string and in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pvsim.cabling.checks import Floats, Ints
from pvsim.cabling.conductor import Conductor, cable_resistance_ohm
from pvsim.cabling.loop import loop_area_m2
from pvsim.cabling.terminals import (
    Terminals,
    distances_between_m,
    home_run_corners,
    home_run_steps,
    steps_between,
)
from pvsim.cabling.wiring import check_wiring
from pvsim.prompt import summary

__all__ = ["Extension", "HomeRun", "Route", "StringRoute", "lay_cables"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Extension:
    """An extension cable between two modules whose leads do not reach.

    Parameters
    ----------
    from_module, to_module : int
        The one whose plus lead it goes on from, and the one whose minus lead it comes to.
    length_m : float
        Of the cable as bought.
    line_m : (2, 2) or (2, 3)
        Where it lies, from lead's end to lead's end, all pulled straight; in m.
    """

    from_module: int
    to_module: int
    length_m: float
    line_m: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HomeRun:
    """The way from an end of a string to the box where the strings meet.

    Parameters
    ----------
    pole : "minus" or "plus"
        Which end of the string.
    module : int
        The module at that end.
    length_m : float
        Of cable as bought; 0 where the module's own lead reaches the box.
    line_m : (3, 2) or (3, 3)
        From where the lead leaves the module along the row, then square to it, to the box; in m.
    """

    pole: Literal["minus", "plus"]
    module: int
    length_m: float
    line_m: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StringRoute:
    """The cables of one string.

    Parameters
    ----------
    modules : tuple of int
        Numbers, from the negative to the positive end.
    lead_m, extension_m, home_run_m : float
        Length of all leads of its modules, of its extensions, of both its runs to the box.
    bought_m, cable_m : float
        Extensions and runs to the box; the same and the leads.
    span_m : (modules - 1,)
        Straight distances that each plus lead and the next minus lead bridge.
    extensions : tuple of Extension
        In the order of the string.
    minus_run, plus_run : HomeRun
        From its ends to the box.
    joints : int
        Pairs of connectors: one between two modules, two with an extension, one where a lead goes on as
        a run to the box. Clamps in the box are not counted.
    loop_area_m2 : float
        Of the path box, negative end, modules, positive end, box.
    resistance_ohm, bought_resistance_ohm : float
        Of copper in cable_m, and in bought_m; connectors not counted. The rating of a module is measured
        at its connectors (from memory), so its leads are in its data already.
    """

    modules: tuple[int, ...]
    lead_m: float
    extension_m: float
    home_run_m: float
    bought_m: float
    cable_m: float
    span_m: Floats
    extensions: tuple[Extension, ...]
    minus_run: HomeRun
    plus_run: HomeRun
    joints: int
    loop_area_m2: float
    resistance_ohm: float
    bought_resistance_ohm: float

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Route:
    """The cables of a wiring.

    Parameters
    ----------
    strings : tuple of StringRoute
        By string, in the order of the wiring.
    conductor : Conductor
        Copper of every cable.
    temperature_C : float
        Of that copper.
    lead_m, extension_m, home_run_m, bought_m, cable_m : float
        Of all strings together, as in StringRoute.
    extensions, joints : int
        How many there are in all.
    """

    strings: tuple[StringRoute, ...]
    conductor: Conductor
    temperature_C: float
    lead_m: float
    extension_m: float
    home_run_m: float
    bought_m: float
    cable_m: float
    extensions: int
    joints: int

    __repr__ = summary


def lay_cables(
    terminals: Terminals,
    box_m: object,
    wiring: Sequence[Sequence[int]],
    *,
    conductor: Conductor | None = None,
    temperature_C: float = 20.0,
) -> Route:
    """Lay the cables of a wiring.

    Parameters
    ----------
    terminals : Terminals
        Junction boxes and leads of n modules.
    box_m : (2,) or (3,)
        Where the strings meet, in m.
    wiring : rows of module numbers
        Of each string, from its negative to its positive end; numbers count from 1.
    conductor : Conductor
        Of leads, extensions and runs alike; 4 mm², tinned if left out.
    temperature_C : float
        Of the copper.

    Returns
    -------
    Route
        Lengths as bought, in whole steps.

    Raises
    ------
    CablingError
        If the wiring does not take each module once, or the box is no point.
    """
    order = check_wiring(wiring, len(terminals.minus_m))
    copper = conductor or Conductor()
    minus_corners, plus_corners, box = home_run_corners(terminals, box_m)
    minus_steps, plus_steps = home_run_steps(terminals, box_m)
    strings = []
    for modules in order:
        at = np.array(modules) - 1
        first, last = int(at[0]), int(at[-1])
        minus_line = np.array([terminals.minus_m[first], minus_corners[first], box])
        plus_line = np.array([terminals.plus_m[last], plus_corners[last], box])
        runs = (
            _home_run("minus", first, minus_steps, minus_line, terminals.step_m),
            _home_run("plus", last, plus_steps, plus_line, terminals.step_m),
        )
        strings.append(_string(terminals, at, runs, copper, temperature_C))
    names = ("lead_m", "extension_m", "home_run_m", "bought_m", "cable_m")
    return Route(
        strings=tuple(strings),
        conductor=copper,
        temperature_C=float(temperature_C),
        extensions=sum(len(string.extensions) for string in strings),
        joints=sum(string.joints for string in strings),
        **{name: float(sum(getattr(string, name) for string in strings)) for name in names},
    )


def _home_run(
    pole: Literal["minus", "plus"], at: int, steps: Ints, line: Floats, step_m: float
) -> HomeRun:
    line.flags.writeable = False
    return HomeRun(pole=pole, module=at + 1, length_m=float(steps[at] * step_m), line_m=line)


def _string(
    terminals: Terminals, at: Ints, runs: tuple[HomeRun, HomeRun], conductor: Conductor, temperature_C: float
) -> StringRoute:
    span = distances_between_m(terminals, at[:-1], at[1:])
    extensions = _extensions(terminals, at, span)
    lead = float((terminals.minus_lead_m + terminals.plus_lead_m)[at].sum())
    extension = float(sum(one.length_m for one in extensions))
    home_run = runs[0].length_m + runs[1].length_m
    bought = extension + home_run
    through = np.stack([terminals.minus_m[at], terminals.plus_m[at]], axis=1).reshape(2 * len(at), -1)
    loop = np.concatenate([runs[0].line_m[:0:-1], through, runs[1].line_m[1:-1]])
    span.flags.writeable = False
    return StringRoute(
        modules=tuple((at + 1).tolist()),
        lead_m=lead,
        extension_m=extension,
        home_run_m=home_run,
        bought_m=bought,
        cable_m=lead + bought,
        span_m=span,
        extensions=extensions,
        minus_run=runs[0],
        plus_run=runs[1],
        joints=len(at) - 1 + len(extensions) + sum(run.length_m > 0.0 for run in runs),
        loop_area_m2=loop_area_m2(loop),
        resistance_ohm=cable_resistance_ohm(conductor, lead + bought, temperature_C=temperature_C),
        bought_resistance_ohm=cable_resistance_ohm(conductor, bought, temperature_C=temperature_C),
    )


def _extensions(terminals: Terminals, at: Ints, span: Floats) -> tuple[Extension, ...]:
    """Cables between neighbours in a string whose leads do not reach."""
    steps = steps_between(terminals, at[:-1], at[1:])
    found = []
    for k in np.flatnonzero(steps).tolist():
        i, j = int(at[k]), int(at[k + 1])
        begin, end = terminals.plus_m[i], terminals.minus_m[j]
        # Each lead goes its own share of the way where the two are longer than it (slack is what lacks then).
        scale = max(span[k], terminals.plus_lead_m[i] + terminals.minus_lead_m[j])
        share = np.array([terminals.plus_lead_m[i], scale - terminals.minus_lead_m[j]]) / (scale or 1.0)
        line = begin + share[:, None] * (end - begin)
        line.flags.writeable = False
        length = float(steps[k] * terminals.step_m)
        found.append(Extension(from_module=i + 1, to_module=j + 1, length_m=length, line_m=line))
    return tuple(found)
