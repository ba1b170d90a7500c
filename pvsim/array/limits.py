"""How large a scenario may be: bounds that keep one page from eating the machine."""

from __future__ import annotations

MAX_STRINGS = 500
MAX_MODULES_PER_STRING = 200
MAX_MODULES = 5_000
MAX_CELLS = 400_000  # 2,500 modules of 144 half-cells are 360,000
MAX_CELLS_PER_MODULE = 720
MAX_SUBSTRINGS = 48
MAX_MODULE_TYPES = 20
MAX_FAULTS = 2_000
MAX_PAINTED = 20_000
MAX_SHADOWS = 40
MAX_SOLIDS = 24
MAX_SURFACES = 12
MAX_ROWS = 200  # of a surface
MAX_PLACES_PER_ROW = 500
MAX_MOUNTED = 10_000  # places of all surfaces together
MAX_TITLE = 200
MAX_NOTE = 4_000
MAX_NAME = 60
