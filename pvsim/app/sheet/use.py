"""From a fitted module to the roof: under which name, for all modules or for a new array."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pvsim.app.number_field import read_number
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.limits import MAX_NAME
from pvsim.array.module import ModuleType
from pvsim.array.scenario import Scenario
from pvsim.errors import PvsimError, ScenarioError
from pvsim.numbers import format_setting

__all__ = ["COUNTS", "named_anew", "read_counts", "taken_by", "use_words", "used_on"]

COUNTS = {"strings": 8, "modules": 24}  # the most of each


def use_words(scenario: Scenario) -> dict[str, str]:
    """What the array on the bench is, and how many strings and modules a new one begins with."""
    strings = scenario.array.strings
    total = sum(len(one.modules) for one in strings)
    return {
        "now": _("Take it for all {count} modules of “{title}”").format(count=total, title=_(scenario.title)),
        "strings": str(min(len(strings), COUNTS["strings"])),
        "modules": str(min(len(strings[0].modules), COUNTS["modules"])),
    }


def taken_by(scenario: Scenario, kind: ModuleType) -> ModuleType | None:
    """Another module type of the scenario that has this one's name; None where there is none."""
    return next((one for one in scenario.module_types if one.name == kind.name and one != kind), None)


def named_anew(scenario: Scenario, kind: ModuleType) -> ModuleType:
    """The same module under a name, and a title, that no type of the scenario has."""
    names = {one.name for one in scenario.module_types}
    k = 2
    while f"{kind.name[: MAX_NAME - 4]}-{k}" in names:
        k += 1
    return replace(kind, name=f"{kind.name[: MAX_NAME - 4]}-{k}", title=f"{kind.title} ({k})")


def read_counts(typed: Mapping[str, Any]) -> tuple[dict[str, int], list[dict[str, Any]]]:
    """Strings and modules of a new array; what is wrong with either, at its field."""
    counts, problems = {}, []
    names = {"strings": _("Strings"), "modules": _("Modules in each")}
    for field, most in COUNTS.items():
        try:
            number = read_number(typed.get(field, ""), name=names[field], least=1, most=most)
            if number != round(number):
                raise ScenarioError(
                    _("{name} cannot be {value}").format(name=names[field], value=format_setting(number)),
                    expected=_("a whole number from 1 to {most}").format(most=most),
                    mend=_("Leave the part behind the decimal mark out"),
                )
            counts[field] = round(number)
        except PvsimError as error:
            problems.append({"field": field, "beside": [], "text": str(error)})
    return counts, problems


def used_on(state: State, kind: ModuleType, counts: Mapping[str, int]) -> str:
    """Put a module on the roof; why that was refused, or nothing.

    Parameters
    ----------
    counts : mapping
        `strings` and `modules` of a new array; empty for those that are there.
    """
    state.tell("")
    state.use_module_type(kind, **counts)
    return "" if state.computing or _has(state.scenario, kind) else state.notice


def _has(scenario: Scenario, kind: ModuleType) -> bool:
    used = {module.type for string in scenario.array.strings for module in string.modules}
    return kind in scenario.module_types and used == {kind.name}
