"""What meters are called where people read of several: which one, what it reads, and what with."""

from __future__ import annotations

from pvsim.array.place import describe_place
from pvsim.field.notice import Notice
from pvsim.field.probe import Probe, meter_of
from pvsim.words import _, mark

__all__ = ["against_words", "meter_words", "notice_words"]

_WHAT = {  # a display's name says what it shows
    "voltage": mark("voltage at work"),
    "open-voltage": mark("open-circuit voltage"),
    "current": mark("current"),
    "irradiance": mark("irradiance"),
    "back": mark("back, mean"),
    "insulation": mark("insulation"),
}


def meter_words(what: str) -> str:
    """The meter of a key of PROBES and what it reads: "clamp meter, current"."""
    name = _(meter_of(Probe(what=what)).name)
    return _("{meter}, {what}").format(meter=name, what=_(_WHAT[what])) if what in _WHAT else name


def against_words(*, beside: bool) -> str:
    """What a reading is compared with."""
    return _("against its neighbour") if beside else _("against what it should be")


def notice_words(notice: Notice) -> str:
    """A comparison: "clamp meter, current, at string 2 against its neighbour"."""
    return _("{meter}, at {place} {against}").format(
        meter=meter_words(notice.probe.what),
        place=describe_place(notice.probe.place),
        against=against_words(beside=notice.neighbour is not None),
    )
