"""One fault: its kind, where it is, and how large."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite, refuse, whole
from pvsim.array.fault_kind import FaultKind, fault_kind
from pvsim.array.place import Place, describe_place, level_of
from pvsim.errors import ScenarioError
from pvsim.words import _


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault, where it is, and how large.

    Parameters
    ----------
    kind : str
        A key of FAULT_KINDS.
    place : Place
        Of a level the kind allows.
    size : float or None
        In the kind's unit; its default when not given. None for kinds without a size.
    other : Place or None
        The second module of a "string-bridge".

    Raises
    ------
    ScenarioError
        If kind, place, size or other do not go together.
    """

    kind: str
    place: Place
    size: float | None = None
    other: Place | None = None

    def __post_init__(self) -> None:
        kind = fault_kind(self.kind)
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, _("a Place"))
        if level_of(self.place) not in kind.scopes:
            raise ScenarioError(
                _("'{kind}' is put on {place}").format(kind=self.kind, place=describe_place(self.place)),
                expected=_("one of {names}").format(names=", ".join(kind.scopes)),
                mend=_("Choose a place of that level"),
            )
        if kind.size is None:
            if self.size is not None:
                refuse(
                    self,
                    "size",
                    self.size,
                    _("no size with '{kind}'").format(kind=self.kind),
                    _("Leave the size out"),
                )
        elif self.size is None:
            object.__setattr__(self, "size", kind.size)
        else:
            _check_size(self, kind)
        _check_other(self)


def _check_size(fault: Fault, kind: FaultKind) -> None:
    if kind.count:
        if isinstance(fault.size, float) and fault.size.is_integer():
            object.__setattr__(fault, "size", int(fault.size))
        whole(fault, "size", least=int(kind.least), most=int(kind.most))
        object.__setattr__(fault, "size", float(fault.size or 0.0))
    else:
        finite(fault, "size", least=kind.least, most=kind.most)


def _check_other(fault: Fault) -> None:
    if fault.kind != "string-bridge":
        if fault.other is not None:
            raise ScenarioError(
                _("'{kind}' has a second place").format(kind=fault.kind),
                expected=_("one place; only 'string-bridge' has two"),
                mend=_("Leave the other place out"),
            )
        return
    other = fault.other
    if not isinstance(other, Place) or level_of(other) != "module" or other == fault.place:
        where = describe_place(other) if isinstance(other, Place) else _("no place")
        raise ScenarioError(
            _("the wire of the 'string-bridge' at {place} ends at {where}").format(
                place=describe_place(fault.place), where=where
            ),
            expected=_("another module as its other end"),
            mend=_('Name it: other = "2/3" in a file is module 3 of string 2'),
        )
