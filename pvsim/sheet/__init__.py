"""From a module's data sheet to its cells.

    file --reader--> DataSheet + Assumptions --infer--> Reasoning --fit--> SheetModule, with its ModuleType

What the paper says is reproduced and stands beside its residual, read from the whole module as it is
solved. What no paper says is assumed by the person who uses it, and marked so. The inference never gives a
verdict: it says what the numbers allow, exclude and leave open.
"""

from __future__ import annotations

from pvsim.sheet.assumed import (
    REVERSES,
    SHUNTS,
    Assumptions,
    ReverseRange,
    Span,
    assumption_problems,
    assumptions_text,
)
from pvsim.sheet.bands import HALVES_V, SERIES_V, Structure, voltage_per_counted_cell_V
from pvsim.sheet.coefficient import UNITS, Coefficient, absolute_per_K, relative_per_K
from pvsim.sheet.data_sheet import (
    BOUNDS,
    DataSheet,
    cell_size_mm,
    fill_factor,
    rated_power_W,
    sheet_problems,
    size_text,
)
from pvsim.sheet.finding import Amount, Finding, sentence
from pvsim.sheet.hot_spot import HotSpot, hot_spot_findings
from pvsim.sheet.own import own_sheets, read_own_sheet
from pvsim.sheet.reasoning import Reasoning, infer
from pvsim.sheet.residual import Reproduced, relative_residual, residual
from pvsim.sheet.sheet_file import SheetFile, read_sheet, write_sheet
from pvsim.sheet.sheet_module import SheetModule, all_findings, module_from_sheet, sheet_scenario
from pvsim.sheet.ways import Way, way_findings, ways_of

__all__ = [
    "BOUNDS",
    "HALVES_V",
    "REVERSES",
    "SERIES_V",
    "SHUNTS",
    "UNITS",
    "Amount",
    "Assumptions",
    "Coefficient",
    "DataSheet",
    "Finding",
    "HotSpot",
    "Reasoning",
    "Reproduced",
    "ReverseRange",
    "SheetFile",
    "SheetModule",
    "Span",
    "Structure",
    "Way",
    "absolute_per_K",
    "all_findings",
    "assumption_problems",
    "assumptions_text",
    "cell_size_mm",
    "fill_factor",
    "hot_spot_findings",
    "infer",
    "module_from_sheet",
    "own_sheets",
    "rated_power_W",
    "read_own_sheet",
    "read_sheet",
    "relative_per_K",
    "relative_residual",
    "residual",
    "sentence",
    "sheet_problems",
    "sheet_scenario",
    "size_text",
    "voltage_per_counted_cell_V",
    "way_findings",
    "ways_of",
    "write_sheet",
]
