"""Arrays on a roof: modules, strings, light, faults and weather, and what they do.

A frozen Scenario holds everything; the functions in `change` make new ones from it, and
`solve_array` says what the array does. Numbers of strings, modules, cells and substrings
count from 1. Roof coordinates are metres, x to the right and y DOWN from the top left
corner of the array.
"""

from __future__ import annotations

from pvsim.array.array import Array, Module, String
from pvsim.array.build import Built, circuits, part_circuit
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.change import (
    add_fault,
    add_shadow,
    change_shadow,
    clear_paint,
    faults_at,
    mend_place,
    move_shadow,
    paint,
    paint_over,
    painted_transmission,
    remove_fault,
    remove_shadow,
    set_array,
    set_light,
    set_module_type,
    set_modules,
    set_operation,
    set_scatter,
    set_string_count,
    set_string_length,
    set_strings,
    set_weather,
    use_module_type,
)
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS, FaultKind, fault_kind
from pvsim.array.held_current import solve_or_release
from pvsim.array.index import cell_at
from pvsim.array.layout import (
    ModulePosition,
    module_positions,
    roof_rectangles,
    roof_size,
    turned_rectangles,
)
from pvsim.array.light import SHADOW_KINDS, Light, Painted, Shadow
from pvsim.array.losses import LOSS_TERMS, LossAccount, loss_account
from pvsim.array.module import (
    ModuleType,
    Substring,
    cell_area_m2,
    cell_count,
    cell_positions,
    cell_rectangles,
    cell_substrings,
    module_size,
    substring_cells,
)
from pvsim.array.operation import Operation
from pvsim.array.outline import shadow_outlines
from pvsim.array.place import (
    LEVELS,
    WHOLE_ARRAY,
    Place,
    describe_place,
    format_place,
    level_of,
    parse_place,
)
from pvsim.array.scatter import USUAL_SCATTER, Scatter
from pvsim.array.scenario import (
    SHOWN_QUANTITIES,
    FirstView,
    Scenario,
    as_built,
    check_place,
    module_type,
)
from pvsim.array.shading import cell_irradiance, shadow_share
from pvsim.array.solution import (
    ArraySolution,
    CellStates,
    DiodeStates,
    PartStates,
    TrackerSolution,
)
from pvsim.array.solve import level_curve, part_curve, solve_array
from pvsim.array.weather import Weather

__all__ = [
    "CATALOGUE",
    "FAULT_KINDS",
    "LEVELS",
    "LOSS_TERMS",
    "SHADOW_KINDS",
    "SHOWN_QUANTITIES",
    "USUAL_SCATTER",
    "WHOLE_ARRAY",
    "Array",
    "ArraySolution",
    "Built",
    "CellStates",
    "DiodeStates",
    "Fault",
    "FaultKind",
    "FirstView",
    "Light",
    "LossAccount",
    "Module",
    "ModulePosition",
    "ModuleType",
    "Operation",
    "Painted",
    "PartStates",
    "Place",
    "Scatter",
    "Scenario",
    "Shadow",
    "String",
    "Substring",
    "TrackerSolution",
    "Weather",
    "add_fault",
    "add_shadow",
    "as_built",
    "cell_area_m2",
    "cell_at",
    "cell_count",
    "cell_irradiance",
    "cell_positions",
    "cell_rectangles",
    "cell_substrings",
    "change_shadow",
    "check_place",
    "circuits",
    "clear_paint",
    "describe_place",
    "fault_kind",
    "faults_at",
    "format_place",
    "level_curve",
    "level_of",
    "loss_account",
    "mend_place",
    "module_positions",
    "module_size",
    "module_type",
    "move_shadow",
    "paint",
    "paint_over",
    "painted_transmission",
    "parse_place",
    "part_circuit",
    "part_curve",
    "remove_fault",
    "remove_shadow",
    "roof_rectangles",
    "roof_size",
    "set_array",
    "set_light",
    "set_module_type",
    "set_modules",
    "set_operation",
    "set_scatter",
    "set_string_count",
    "set_string_length",
    "set_strings",
    "set_weather",
    "shadow_outlines",
    "shadow_share",
    "solve_array",
    "solve_or_release",
    "substring_cells",
    "turned_rectangles",
    "use_module_type",
]
