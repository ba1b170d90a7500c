"""One step of reasoning: a value found, what it allows and excludes, as a sentence in any language."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pvsim.numbers import format_fixed, format_number, format_setting
from pvsim.prompt import summary
from pvsim.words import _

Bearing = Literal["allowed", "excluded", "open", "doubt"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A number of a sentence, with its unit; whole ones, and those with digits = 0, show what they have."""

    value: float | int
    unit: str = ""
    digits: int = 3


Said: TypeAlias = "Amount | str"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One step of the reasoning.

    Parameters
    ----------
    about : str
        Which step, for programs: "voltage-per-cell".
    bearing : "allowed", "excluded", "open" or "doubt"
        What the numbers do to what the sentence says: they allow it, exclude it, leave it open, or speak
        against themselves.
    says : str
        The sentence in English, marked to be translated, with {names} of `values`.
    values : tuple of (name, Amount or marked text)
        What stands in it.
    """

    about: str
    bearing: Bearing
    says: str
    values: tuple[tuple[str, Said], ...] = ()

    __repr__ = summary


def sentence(finding: Finding) -> str:
    """The finding in the language spoken now."""
    return _(finding.says).format(**{name: _said(value) for name, value in finding.values})


def _said(value: Said) -> str:
    if isinstance(value, str):
        return _(value) if value else ""
    if not value.digits:
        return format_setting(value.value, value.unit)
    if isinstance(value.value, int):
        return format_fixed(value.value, value.unit)
    return format_number(value.value, value.unit, digits=value.digits)
