"""What the other strings can drive into one that is weak, against fuses and the rating of modules."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.change import set_operation
from pvsim.array.index import array_index
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.safety.ratings import Ratings
from pvsim.safety.standard_light import string_curves

__all__ = ["FUSE_LEAST", "FUSE_MOST", "LIGHT_FACTOR", "ReverseCurrent", "reverse_currents"]

# IEC 62548 (from memory): greatest short-circuit current 1.25 times that at 1000 W/m2; a string fuse has more
# than 1.5 and less than 2.4 times that at 1000 W/m2, and no more than the modules' own rating.
LIGHT_FACTOR = 1.25
FUSE_LEAST, FUSE_MOST = 1.5, 2.4
RESTING_A = 1e-3  # what solvers leave of a current that is none


@dataclass(frozen=True, slots=True, kw_only=True)
class ReverseCurrent:
    """What can be driven into one string.

    Parameters
    ----------
    string : int
        Its number, from 1.
    parallel : int
        Strings that are joined with it, itself counted.
    isc_A : float
        Its own short-circuit current at 25 degrees C and 1000 W/m2; light from behind as the scenario has it.
    driven_A : float
        The most that the others can drive into it, in light a quarter above that.
    now_A : float
        What they do drive into it in the array as it is, with its faults, switched off; 0 where it gives.
    rating_A : float
        Maximum overcurrent protection rating of its modules.
    fused : bool
        Whether it has a fuse.
    fuse_A : float
        The rating of that fuse.
    fuse_least_A, fuse_most_A : float
        Between these the rating of a fuse has to lie.
    """

    string: int
    parallel: int
    isc_A: float
    driven_A: float
    now_A: float
    rating_A: float
    fused: bool
    fuse_A: float
    fuse_least_A: float
    fuse_most_A: float

    @property
    def needs_fuse(self) -> bool:
        """Whether the others can drive more than its modules are rated for."""
        return self.driven_A > self.rating_A

    @property
    def fuse_fits(self) -> bool:
        """Whether the fuse's rating lies between its bounds."""
        return self.fuse_least_A < self.fuse_A < FUSE_MOST * self.isc_A and self.fuse_A <= self.rating_A

    @property
    def fuse_exists(self) -> bool:
        """Whether any rating lies between the bounds."""
        return self.fuse_least_A < self.fuse_most_A

    @property
    def wrong(self) -> bool:
        """Whether a fuse lacks, does not fit, or more flows now than the modules are rated for."""
        unguarded = self.needs_fuse and not self.fused
        return unguarded or (self.fused and not self.fuse_fits) or self.now_A > self.rating_A


def reverse_currents(scenario: Scenario, ratings: Ratings) -> tuple[ReverseCurrent, ...]:
    """For each string what its neighbours on the same tracker can drive into it.

    Notes
    -----
    No string gives more than its short-circuit current, so n - 1 of them give at most the sum of theirs into
    the nth. IEC 62548 (from memory): overcurrent protection is needed where that, in the greatest light, is
    more than the modules' rating. A blocking diode does not take the place of a fuse.
    """
    isc = [curve.isc_A for curve in string_curves(scenario, 25.0)]
    strings = array_index(scenario).strings
    joined = scenario.array.tracking == "one"
    now = solve_array(set_operation(scenario, "current", 0.0), points=8).strings.current_A
    found = []
    for number, (string, own) in enumerate(zip(strings, isc, strict=True), start=1):
        others = sum(isc) - own if joined else 0.0
        current = -float(now[number - 1])
        found.append(
            ReverseCurrent(
                string=number,
                parallel=len(strings) if joined else 1,
                isc_A=own,
                driven_A=LIGHT_FACTOR * others,
                now_A=current if current > RESTING_A else 0.0,
                rating_A=ratings.module_fuse_A,
                fused=string.fuse,
                fuse_A=ratings.string_fuse_A,
                fuse_least_A=FUSE_LEAST * own,
                fuse_most_A=min(FUSE_MOST * own, ratings.module_fuse_A),
            )
        )
    return tuple(found)
