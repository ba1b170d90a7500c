"""Arrays on a roof: modules, strings, light, faults and weather, and what they do.

A frozen Scenario holds everything; the functions in `change` make new ones from it, and
`solve_array` says what the array does. Numbers of strings, modules, cells and substrings
count from 1. Roof coordinates are metres, x to the right and y DOWN from the top left
corner of the array.
"""

from __future__ import annotations

from pvsim.array.array import Array, Module, String
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
    painted_transmission,
    remove_fault,
    remove_shadow,
    set_array,
    set_light,
    set_operation,
    set_weather,
)
from pvsim.array.fault import FAULT_KINDS, Fault, FaultKind, fault_kind
from pvsim.array.light import SHADOW_KINDS, Light, Painted, Shadow
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
from pvsim.array.place import (
    LEVELS,
    WHOLE_ARRAY,
    Place,
    describe_place,
    format_place,
    level_of,
    parse_place,
)
from pvsim.array.scenario import (
    QUANTITIES,
    FirstView,
    Scenario,
    as_built,
    check_place,
    module_type,
)
from pvsim.array.weather import Weather

__all__ = [
    "CATALOGUE",
    "FAULT_KINDS",
    "LEVELS",
    "QUANTITIES",
    "SHADOW_KINDS",
    "WHOLE_ARRAY",
    "Array",
    "Fault",
    "FaultKind",
    "FirstView",
    "Light",
    "Module",
    "ModuleType",
    "Operation",
    "Painted",
    "Place",
    "Scenario",
    "Shadow",
    "String",
    "Substring",
    "Weather",
    "add_fault",
    "add_shadow",
    "as_built",
    "cell_area_m2",
    "cell_count",
    "cell_positions",
    "cell_rectangles",
    "cell_substrings",
    "change_shadow",
    "check_place",
    "clear_paint",
    "describe_place",
    "fault_kind",
    "faults_at",
    "format_place",
    "level_of",
    "mend_place",
    "module_size",
    "module_type",
    "move_shadow",
    "paint",
    "painted_transmission",
    "parse_place",
    "remove_fault",
    "remove_shadow",
    "set_array",
    "set_light",
    "set_operation",
    "set_weather",
    "substring_cells",
]
