"""What stands on labels and in codes, and no scenario holds."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite

COLDEST_C = -40.0  # where the table of the standard ends


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """What an array is held against. The defaults are usual on labels; common practice, no source.

    Parameters
    ----------
    lowest_C : float
        Lowest temperature to be expected of cells that get light, -40 to 25: on a clear cold morning they are
        as cold as the air.
    system_voltage_V : float
        The least of what modules, switchgear and inverter are made for.
    module_fuse_A : float
        Maximum overcurrent protection rating of the modules, from their label.
    string_fuse_A : float
        Rating of the fuse in each string that has one.
    """

    lowest_C: float = -15.0
    system_voltage_V: float = 1000.0
    module_fuse_A: float = 20.0
    string_fuse_A: float = 20.0

    def __post_init__(self) -> None:
        finite(self, "lowest_C", least=COLDEST_C, most=25.0)
        finite(self, "system_voltage_V", least=1.0, most=3000.0)
        finite(self, "module_fuse_A", least=0.1, most=200.0)
        finite(self, "string_fuse_A", least=0.1, most=200.0)
