"""What the cables of a mounted array are and do at work: metres, drop, loss, loop, joints."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.route import drawn_route, lead_resistances_ohm
from pvsim.array.solution import ArraySolution

__all__ = ["StringCables", "all_cables", "string_cables"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StringCables:
    """The cables of one string, or of all together.

    Parameters
    ----------
    modules : int
    bought_m : float
        Extensions and runs to the box.
    extension_m, home_run_m, lead_m : float
        Of the extensions, of both runs to the box, of the modules' own leads.
    extensions, joints : int
    loop_area_m2 : float
        Of all strings together the largest.
    resistance_ohm : float
        Of what was bought and of the connectors, as the solver has it; 0 for all together.
    drop_V, loss_W : float
        In that, at the operating point; of all together the largest drop and the sum of the losses.
    """

    modules: int
    bought_m: float
    extension_m: float
    home_run_m: float
    lead_m: float
    extensions: int
    joints: int
    loop_area_m2: float
    resistance_ohm: float
    drop_V: float
    loss_W: float


def string_cables(solution: ArraySolution) -> tuple[StringCables, ...]:
    """The cables of each string as built.

    Returns
    -------
    tuple of StringCables
        None for an array without surfaces. Where an array with surfaces has no `Cables`, lengths are those
        of the usual ones, and resistance, drop and loss those that its strings name.
    """
    scenario = solution.scenario
    if not scenario.array.surfaces:
        return ()
    found = []
    rows = zip(
        drawn_route(scenario).strings,
        lead_resistances_ohm(scenario),
        solution.strings.current_A,
        strict=True,
    )
    for laid, ohm, current in rows:
        found.append(
            StringCables(
                modules=len(laid.modules),
                bought_m=laid.bought_m,
                extension_m=laid.extension_m,
                home_run_m=laid.home_run_m,
                lead_m=laid.lead_m,
                extensions=len(laid.extensions),
                joints=laid.joints,
                loop_area_m2=laid.loop_area_m2,
                resistance_ohm=ohm,
                drop_V=ohm * abs(float(current)),
                loss_W=ohm * float(current) ** 2,
            )
        )
    return tuple(found)


def all_cables(strings: tuple[StringCables, ...]) -> StringCables:
    """All strings together; of loop and drop the largest."""
    return StringCables(
        modules=sum(one.modules for one in strings),
        bought_m=sum(one.bought_m for one in strings),
        extension_m=sum(one.extension_m for one in strings),
        home_run_m=sum(one.home_run_m for one in strings),
        lead_m=sum(one.lead_m for one in strings),
        extensions=sum(one.extensions for one in strings),
        joints=sum(one.joints for one in strings),
        loop_area_m2=max((one.loop_area_m2 for one in strings), default=0.0),
        resistance_ohm=0.0,
        drop_V=max((one.drop_V for one in strings), default=0.0),
        loss_W=sum(one.loss_W for one in strings),
    )
