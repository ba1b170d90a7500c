"""Where a break has taken the path of the current an array is held at, its trackers let go.

One rule for the page, the command line and files: a current that somebody asks for and that
finds no path is refused; one that was held before the break is let go, the trackers go back to
their MPP, and it is said.
"""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array
from pvsim.errors import PathError
from pvsim.words import _


def solve_or_release(scenario: Scenario, *, points: int = 400) -> tuple[ArraySolution, str]:
    """Solve an array, at its MPP where the current it is held at finds no path.

    Parameters
    ----------
    points : int
        Of each characteristic.

    Returns
    -------
    solution : ArraySolution
        Its scenario is the one given, or the same at its MPP.
    released : str
        What became of the operating point, as a sentence; "" where it stays.

    Raises
    ------
    PvsimError
        As `solve_array`, but for a current without a path.
    """
    try:
        return solve_array(scenario, points=points), ""
    except PathError as error:
        solution = solve_array(replace(scenario, operation=Operation()), points=points)
        wrong = error.wrong[:1].upper() + error.wrong[1:]
        return solution, _("{wrong}: it goes back to its MPP.").format(wrong=wrong)
