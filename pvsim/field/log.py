"""A log of readings: what was read, where, when and in what light and warmth.

Lines are added, never changed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from pvsim.array.checks import finite, refuse, text, tuple_of
from pvsim.array.limits import MAX_NAME
from pvsim.errors import ScenarioError
from pvsim.field.probe import Probe, meter_of
from pvsim.field.reading import LONGEST_min, Reading
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["MAX_ENTRIES", "Log", "LogEntry", "noted"]

MAX_ENTRIES = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One line.

    Parameters
    ----------
    time_min : float
        Since the log was begun.
    probe : Probe
        What was measured, and where.
    reading : Reading
    irradiance, temperature : Reading or None
        Of light and of the modules' backs at that time, where they were read.
    remark : str
        For people.
    """

    time_min: float
    probe: Probe
    reading: Reading
    irradiance: Reading | None = None
    temperature: Reading | None = None
    remark: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        finite(self, "time_min", least=0.0, most=LONGEST_min)
        if not isinstance(self.probe, Probe):
            refuse(self, "probe", self.probe, _("a Probe"))
        _check_reading(self, "reading", meter_of(self.probe).unit)
        for name, unit in (("irradiance", "W/m2"), ("temperature", "°C")):
            if getattr(self, name) is not None:
                _check_reading(self, name, unit)
        text(self, "remark", most=MAX_NAME)


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """Lines in the order they were written, which is that of time.

    Parameters
    ----------
    entries : tuple of LogEntry
    """

    entries: tuple[LogEntry, ...] = ()

    __repr__ = summary

    def __post_init__(self) -> None:
        tuple_of(self, "entries", LogEntry, most=MAX_ENTRIES)
        for before, after in pairwise(self.entries):
            if after.time_min < before.time_min:
                raise ScenarioError(
                    _("an entry of minute {after} follows one of minute {before}").format(
                        after=f"{after.time_min:g}", before=f"{before.time_min:g}"
                    ),
                    expected=_("entries in the order of time"),
                    mend=_("Note a reading when it is taken"),
                )


def noted(log: Log, entry: LogEntry) -> Log:
    """The log with one more line; the log given stays as it was.

    Raises
    ------
    ScenarioError
        If the entry is earlier than the last one, or the log is full.
    """
    return replace(log, entries=(*log.entries, entry))


def _check_reading(entry: LogEntry, name: str, unit: str) -> None:
    value = getattr(entry, name)
    if not isinstance(value, Reading) or value.unit != unit:
        refuse(entry, name, value, _("a Reading in {unit}").format(unit=unit))
