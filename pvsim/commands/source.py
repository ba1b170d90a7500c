"""What a command is given to work on: a file, a scenario that comes along, a link."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pvsim.errors import FileError
from pvsim.files.circuit_file import CircuitFile, circuit_of, is_circuit, read_circuit
from pvsim.files.source import Source, parse_toml, read_source, read_stream, shown

if TYPE_CHECKING:
    from pvsim.array.scenario import Scenario

LINK_KEY = "s"  # of the page's address
_SUFFIXES = (".toml", ".json")


def open_source(name: str) -> Scenario | CircuitFile:
    """Read what the command line names.

    Parameters
    ----------
    name : str
        A path, the name of a scenario that comes with pvsim, a link, or "-".

    Raises
    ------
    FileError
        If it is none of them, or what stands in it is wrong.
    """
    if name == "-":
        return _read(read_stream(sys.stdin.buffer, "the standard input"))
    if "://" in name or (name.startswith("1.") and _suffix(name) not in _SUFFIXES):
        from pvsim.files.link import unpack

        return unpack(_word(name))
    if _suffix(name) or os.path.exists(name):
        return _read(read_source(name))
    return _demo(name)


def open_scenario(name: str) -> Scenario:
    """Read a scenario, and refuse a bare circuit."""
    found = open_source(name)
    if isinstance(found, CircuitFile):
        raise FileError(
            f"{shown(name)} is a bare circuit",
            expected="a scenario, with an array on a roof",
            mend="Use 'pvsim solve' or 'pvsim export csv' for a bare circuit",
        )
    return found


def is_study(values: Mapping[str, Any]) -> bool:
    """Whether parsed values are meant to be a study."""
    return "axes" in values or "columns" in values


def is_sheet(values: Mapping[str, Any]) -> bool:
    """Whether parsed values are meant to be a data sheet."""
    return any(key in values for key in ("isc_A", "voc_V", "imp_A", "vmp_V"))


def _read(source: Source) -> Scenario | CircuitFile:
    if source.text.lstrip().startswith("{"):
        return read_circuit(source.text, source.name)
    values = parse_toml(source)
    if is_circuit(values):
        return circuit_of(values, source)
    if is_sheet(values):
        raise FileError(
            f"{shown(source.name)} is a data sheet",
            expected="a scenario or a bare circuit",
            mend="Use 'pvsim sheet' for a data sheet; with --output it writes a scenario",
        )
    if is_study(values):  # a sheet has columns too
        raise FileError(
            f"{shown(source.name)} is a study",
            expected="a scenario or a bare circuit",
            mend="Use 'pvsim study' for a study",
        )
    from pvsim.files.scenario_file import scenario_of

    return scenario_of(values, source)


def _demo(name: str) -> Scenario:
    from pvsim.files.demo import demo_names, read_demo
    from pvsim.files.shipped_file import refuse_name

    known = demo_names()
    if name in known:
        return read_demo(name)
    raise refuse_name(name, "scenario", known, "a link, or ")


def _suffix(name: str) -> str:
    return os.path.splitext(name)[1]


def _word(link: str) -> str:
    if "://" not in link:
        return link
    from urllib.parse import parse_qs, urlsplit

    parts = urlsplit(link[:20_000])
    values = {**parse_qs(parts.fragment), **parse_qs(parts.query)}.get(LINK_KEY)
    if not values:
        raise FileError(
            "the address carries no scenario",
            expected=f"an address with {LINK_KEY}=... as the page's link has it",
            mend="Copy the link from the page's files menu",
        )
    return values[-1]
