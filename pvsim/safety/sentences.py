"""What is said of limits, in sentences; the cautions that belong beside them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from pvsim.array.fault import Fault
from pvsim.array.place import describe_place
from pvsim.numbers import format_fixed, format_setting
from pvsim.safety.cold_voltage import ColdVoltage
from pvsim.safety.earth_fault import EarthFault, EarthReadings
from pvsim.safety.ratings import Ratings
from pvsim.safety.reverse_current import ReverseCurrent
from pvsim.words import _, mark, ngettext

__all__ = ["CAUTIONS", "cold_sentences", "earth_sentence", "readings_sentence", "reverse_sentences"]

# Common practice of the trade; local codes and licensed people come first.
CAUTIONS = (
    mark(
        "This is arithmetic for learning, after IEC 62548 (from memory). How an array may be built, and "
        "which fuse it needs, is for a licensed person to work out, by the local code and the makers' data."
    ),
    mark(
        "Measure to earth on an open array only: inverter off, switch open, the current of every string "
        "shown to be zero. Both poles can be live to earth. Meters and leads rated for the cold open-circuit "
        "voltage."
    ),
)
One = TypeVar("One", ColdVoltage, ReverseCurrent)
FEW = 1e3  # ohm: below this a fault is as good as a bare contact


def cold_sentences(found: Sequence[ColdVoltage], ratings: Ratings) -> list[str]:
    """One sentence for all strings that are alike."""
    return [
        _cold(group, ratings) for group in _alike(found, lambda one: (one.modules, round(one.worse_V, 3)))
    ]


def reverse_sentences(found: Sequence[ReverseCurrent]) -> list[str]:
    """One sentence, or two, for all strings that are alike."""
    said = [_reverse(group) for group in _alike(found, _reverse_key)]
    for one in found:
        if one.now_A > 0.0:
            text = _("As it is, and switched off, {amps} are driven into string {string}.")
            said.append(text.format(amps=_A(one.now_A), string=one.string))
    return said


def earth_sentence(found: EarthFault) -> str:
    """Where the fault is."""
    joint, last = found.joint, found.modules
    if joint == 0:
        where = _("at the minus end of string {string}")
    elif joint == last:
        where = _("at the plus end of string {string}")
    else:
        where = _("between modules {one} and {next} of string {string}")
    where = where.format(string=found.string, one=joint, next=joint + 1)
    if not found.clear:
        return _(
            "After {after} modules from minus: within module {module} of string {string}, or there is more "
            "than one fault."
        ).format(
            after=format_fixed(found.after, decimals=1),
            module=min(int(found.after) + 1, last),
            string=found.string,
        )
    size = (
        _("a bare contact")
        if found.resistance_ohm < FEW
        else _("about {ohm}").format(ohm=_kilohm(found.resistance_ohm))
    )
    return _("{where}, if it is in that string; {size} to earth.").format(where=_upper(where), size=size)


def readings_sentence(fault: Fault, readings: EarthReadings) -> str:
    """What a voltmeter shows with the array's own earth fault."""
    return _(
        "With the earth fault of {place} a voltmeter of 10 MΩ shows {minus} from minus to earth and {plus} "
        "from plus to earth, the array open."
    ).format(
        place=describe_place(fault.place),
        minus=format_fixed(readings.minus_V, "V", decimals=1),
        plus=format_fixed(readings.plus_V, "V", decimals=1),
    )


def _cold(group: list[ColdVoltage], ratings: Ratings) -> str:
    one = group[0]
    verdict = _("within {limit}") if not one.over else _("ABOVE {limit}")
    text = ngettext(
        "{strings}, {n} module: open at {lowest} {cold} by its cells, {table} by the standard's table; "
        "{verdict}. Up to {most} such modules would stay within.",
        "{strings}, {n} modules: open at {lowest} {cold} by their cells, {table} by the standard's table; "
        "{verdict}. Up to {most} such modules would stay within.",
        one.modules,
    )
    return text.format(
        strings=_strings(group),
        n=one.modules,
        lowest=format_setting(ratings.lowest_C, "°C"),
        cold=_V(one.cold_V),
        table=_V(one.table_V),
        verdict=verdict.format(limit=_V(one.limit_V)),
        most=one.most_modules,
    )


def _reverse_key(one: ReverseCurrent) -> object:
    return (round(one.driven_A, 3), round(one.isc_A, 3), one.fused, one.parallel)


def _reverse(group: list[ReverseCurrent]) -> str:
    one = group[0]
    who = _strings(group)
    if one.parallel == 1:
        return _("{strings}: no other string is joined with it; none can drive a current into it.").format(
            strings=who
        )
    others = ngettext(
        "{strings}: the other string can drive {driven} into it; its modules are rated for {rating}.",
        "{strings}: the {n} others can drive {driven} into it; its modules are rated for {rating}.",
        one.parallel - 1,
    ).format(strings=who, n=one.parallel - 1, driven=_A(one.driven_A), rating=_A(one.rating_A))
    return f"{others} {_fuse(one)}"


def _fuse(one: ReverseCurrent) -> str:
    if not one.fused:
        return (
            _("A fuse is NEEDED and lacks.") if one.needs_fuse else _("By this arithmetic no fuse is needed.")
        )
    bounds = {"least": _A(one.fuse_least_A), "most": _A(one.fuse_most_A), "fuse": _A(one.fuse_A)}
    if one.fuse_fits:
        return _("Its fuse of {fuse} fits between {least} and {most}.").format(**bounds)
    if not one.fuse_exists:
        return _("NO fuse fits: it would have to be above {least} and at most {most}.").format(**bounds)
    return _("Its fuse of {fuse} does NOT fit: above {least}, at most {most}.").format(**bounds)


def _alike(found: Sequence[One], key: Callable[[One], object]) -> list[list[One]]:
    groups: dict[object, list[One]] = {}
    for one in found:
        groups.setdefault(key(one), []).append(one)
    return list(groups.values())


def _strings(group: Sequence[ColdVoltage] | Sequence[ReverseCurrent]) -> str:
    """Such as "String 2" or "Strings 1, 2, 5"; many only counted."""
    numbers = [str(one.string) for one in group]
    if len(numbers) > 8:
        return _("{n} strings alike").format(n=len(numbers))
    text = ngettext("String {numbers}", "Strings {numbers} each", len(numbers))
    return text.format(numbers=", ".join(numbers))


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _V(value: float) -> str:
    return format_fixed(value, "V", decimals=0)


def _A(value: float) -> str:
    return format_fixed(value, "A", decimals=1)


def _kilohm(value: float) -> str:
    return format_fixed(value / 1e3, "kΩ", decimals=0)
