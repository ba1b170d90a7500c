"""What `pvsim sheet` says about a data sheet."""

from __future__ import annotations

import textwrap
from dataclasses import asdict
from typing import Any

from pvsim.commands.text import number, table
from pvsim.files.document import module_type_values
from pvsim.numbers import short_number
from pvsim.sheet.assumed import assumptions_text
from pvsim.sheet.data_sheet import cell_area_cm2, size_text
from pvsim.sheet.finding import sentence
from pvsim.sheet.parameter import ASSUMED, PARAMETERS
from pvsim.sheet.residual import Reproduced, relative_residual, residual
from pvsim.sheet.sheet_module import SheetModule, all_findings

_WIDTH = 100
_LETTERS = {
    "isc": "Isc", "voc": "Voc", "imp": "Imp", "vmp": "Vmp", "pmp": "Pmp",
    "alpha": "alpha (Isc)", "beta": "beta (Voc)", "gamma": "gamma (Pmp), not fitted",
}  # fmt: skip
_SIGNS = {"allowed": "+", "excluded": "-", "open": " ", "doubt": "!"}


def report_sheet(made: SheetModule) -> list[str]:
    """Lines for the terminal: the reasoning, the parameters, each input beside its residual."""
    kind = made.module_type
    reasoning = [(sentence(one), _SIGNS[one.bearing]) for one in all_findings(made)]
    parameters = [
        (letter, short_number(getattr(kind.cell, name)), unit, "assumed" if name in ASSUMED else "")
        for letter, name, unit in PARAMETERS
    ]
    return [
        "",
        "Reasoning (+ the numbers allow it, - they exclude it, ! look again)",
        *(line for text, sign in reasoning for line in _wrapped(text, sign)),
        "",
        "One cell at 1000 W/m2 and 25 degrees C",
        *table(("parameter", "value", "unit", ""), parameters),
        *_wrapped(assumptions_text(made.assumed, cell_area_cm2(made.sheet)), " "),
        *_wrapped(size_text(made.sheet), " "),
        "",
        "The whole module as solved, beside the sheet",
        *table(("", "sheet", "module", "residual", "%", "unit"), [_row(one) for one in made.reproduced]),
    ]


def sheet_values(made: SheetModule) -> dict[str, Any]:
    """The same for --json."""
    spot = asdict(made.hot_spot)
    return {
        "reasoning": [
            {"about": one.about, "bearing": one.bearing, "sentence": sentence(one)}
            for one in all_findings(made)
        ],
        "structure": asdict(made.structure),
        "candidates": [asdict(one) for one in made.reasoning.candidates],
        "assumed": asdict(made.assumed),
        "module_type": module_type_values(made.module_type),
        "reproduced": [asdict(one) | {"residual": residual(one)} for one in made.reproduced],
        "hot_spot": spot,
    }


def _row(one: Reproduced) -> tuple[str, ...]:
    return (
        _LETTERS[one.name],
        number(one.given),
        number(one.found),
        number(residual(one)),
        f"{100.0 * relative_residual(one):.4f}".replace("-0.0000", "0.0000"),
        one.unit,
    )


def _wrapped(text: str, sign: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=f"{sign} ", subsequent_indent="  ")
