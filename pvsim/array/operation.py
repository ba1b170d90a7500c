"""Where on its characteristic each tracker holds the array."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.checks import finite, one_of, refuse, span
from pvsim.errors import ScenarioError

OperationKind = Literal["mpp", "voltage", "current", "load"]
UNITS: dict[str, str] = {"mpp": "", "voltage": "V", "current": "A", "load": "ohm"}


@dataclass(frozen=True, slots=True)
class Operation:
    """Where each tracker holds its strings.

    Parameters
    ----------
    kind : "mpp", "voltage", "current" or "load"
        At the greatest maximum of power, at a fixed voltage (a battery), at a fixed current,
        or on a load resistance.
    value : float or None
        In V, A or ohm; none for "mpp".
    """

    kind: OperationKind = "mpp"
    value: float | None = None

    def __post_init__(self) -> None:
        one_of(self, "kind", get_args(OperationKind))
        if self.kind == "mpp":
            if self.value is not None:
                refuse(self, "value", self.value, "no value with kind 'mpp'", "Leave the value out")
            return
        if self.value is None:
            raise ScenarioError(
                f"an operation of kind '{self.kind}' has no value",
                expected=f"a number in {UNITS[self.kind]}",
                mend="Give the value, or choose 'mpp'",
            )
        least, most = (1e-6, 1e9) if self.kind == "load" else (-1e5, 1e5)
        finite(self, "value")
        if not least <= self.value <= most:
            unit = UNITS[self.kind]
            raise ScenarioError(
                f"{self.kind} of the operation is {self.value:g} {unit}",
                expected=f"{span(least, most)} {unit}",
                mend=f"Check the number and that it is in {unit}",
            )
