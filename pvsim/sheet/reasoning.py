"""From the numbers of a sheet to how its cells are joined, step by step: what is allowed, excluded, open."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.prompt import summary
from pvsim.sheet.bands import Structure, structures_of, voltage_findings
from pvsim.sheet.data_sheet import DataSheet
from pvsim.sheet.finding import Finding
from pvsim.sheet.joining import joining_findings
from pvsim.sheet.kinds import kind_findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasoning:
    """What can be inferred from a sheet.

    Parameters
    ----------
    findings : tuple of Finding
        In the order in which they follow from one another.
    structure : Structure or None
        How the cells can be joined; None where the numbers fit no way of it that can be wired.
    """

    findings: tuple[Finding, ...]
    structure: Structure | None

    __repr__ = summary


def infer(sheet: DataSheet) -> Reasoning:
    """Infer how the cells of a sheet are joined.

    Parameters
    ----------
    sheet : DataSheet

    Returns
    -------
    Reasoning
        Never an error: where nothing fits, the findings say so.
    """
    found = list(voltage_findings(sheet))
    structures = structures_of(sheet)
    if not structures:
        return Reasoning(findings=tuple(found), structure=None)
    structure = structures[0]
    found += joining_findings(sheet, structure)
    found += kind_findings(sheet, structure)
    return Reasoning(findings=tuple(found), structure=structure)
