"""Where on its characteristic each tracker holds the array."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.checks import finite, one_of, refuse, span
from pvsim.errors import ScenarioError
from pvsim.numbers import short_number
from pvsim.words import _

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
                refuse(self, "value", self.value, _("no value with kind 'mpp'"), _("Leave the value out"))
            return
        if self.value is None:
            raise ScenarioError(
                _("an operation of kind '{kind}' has no value").format(kind=self.kind),
                expected=_("a number in {unit}").format(unit=UNITS[self.kind]),
                mend=_("Give the value, or choose 'mpp'"),
            )
        least, most = (1e-6, 1e9) if self.kind == "load" else (-1e5, 1e5)
        finite(self, "value")
        if not least <= self.value <= most:
            unit = UNITS[self.kind]
            raise ScenarioError(
                _("{kind} of the operation is {value} {unit}").format(
                    kind=self.kind, value=short_number(self.value), unit=unit
                ),
                expected=_("{range} {unit}").format(range=span(least, most), unit=unit),
                mend=_("Check the number and that it is in {unit}").format(unit=unit),
            )
