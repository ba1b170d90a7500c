"""Published benchmark measurements and parameters, retyped with their source.

Measured: Easwarakhanthan, Bottin, Bouhouch, Boutrit, "Nonlinear minimization algorithm
for determining the solar cell parameters with microcomputers", Int. J. Solar Energy 4
(1986) 1-12: a 57 mm cell at 33 degrees C and a module of 36 cells at 45 degrees C, both
at 1000 W/m2. Retyped from tables that agree in many public files; original not opened.
"""

from __future__ import annotations

from typing import NamedTuple

from pvsim.circuit import Cell, CellType
from pvsim.circuit.leaf import thermal_voltage

# Constants of the papers that published n; n, k, q and T only enter as n k T / q.
LEGACY_K_OVER_Q = 1.3806503e-23 / 1.60217646e-19
CELL_K, MODULE_K = 306.15, 318.15

CELL_1986 = (
    (-0.2057, 0.7640), (-0.1291, 0.7620), (-0.0588, 0.7605), (0.0057, 0.7605), (0.0646, 0.7600),
    (0.1185, 0.7590), (0.1678, 0.7570), (0.2132, 0.7570), (0.2545, 0.7555), (0.2924, 0.7540),
    (0.3269, 0.7505), (0.3585, 0.7465), (0.3873, 0.7385), (0.4137, 0.7280), (0.4373, 0.7065),
    (0.4590, 0.6755), (0.4784, 0.6320), (0.4960, 0.5730), (0.5119, 0.4990), (0.5265, 0.4130),
    (0.5398, 0.3165), (0.5521, 0.2120), (0.5633, 0.1035), (0.5736, -0.0100), (0.5833, -0.1230),
    (0.5900, -0.2100),
)  # fmt: skip

# The first row stands in one copy only and is usually left out.
MODULE_1986 = (
    (-1.9426, 1.0345), (0.1248, 1.0315), (1.8093, 1.0300), (3.3511, 1.0260), (4.7622, 1.0220),
    (6.0538, 1.0180), (7.2364, 1.0155), (8.3189, 1.0140), (9.3097, 1.0100), (10.2163, 1.0035),
    (11.0449, 0.9880), (11.8018, 0.9630), (12.4929, 0.9255), (13.1231, 0.8725), (13.6983, 0.8075),
    (14.2221, 0.7265), (14.6995, 0.6345), (15.1346, 0.5345), (15.5311, 0.4275), (15.8929, 0.3185),
    (16.2229, 0.2085), (16.5241, 0.1010), (16.7987, -0.0080), (17.0499, -0.1110), (17.2793, -0.2090),
    (17.4885, -0.3030),
)  # fmt: skip


class Fit(NamedTuple):
    """Published parameters of a whole cell or of a module seen as one junction."""

    photocurrent_A: float
    saturation_current_A: float
    ideality: float
    series_ohm: float
    shunt_ohm: float
    temperature_K: float = CELL_K
    second_saturation_current_A: float = 0.0
    second_ideality: float = 2.0
    k_over_q: float = LEGACY_K_OVER_Q

    def cell(self, *, in_series: int = 1) -> Cell:
        """One of `in_series` equal cells that together are the published one.

        Held at 25 degrees C with n such that n k T / q is the published product, so
        that nothing is translated in temperature.
        """
        second = self.second_ideality if self.second_saturation_current_A else 0.0
        product_V = self.k_over_q * self.temperature_K / thermal_voltage(298.15) / in_series
        return Cell(
            type=CellType(
                photocurrent_A=self.photocurrent_A,
                saturation_current_A=self.saturation_current_A,
                ideality=self.ideality * product_V,
                series_resistance_ohm=self.series_ohm / in_series,
                shunt_resistance_ohm=self.shunt_ohm / in_series,
                second_saturation_current_A=self.second_saturation_current_A,
                second_ideality=second * product_V or self.second_ideality,
            )
        )


# Optimum in the implicit error; quoted so in Neural Comput. Appl. 36 (2024) 8757, Table 2.
CELL_IMPLICIT = Fit(0.760775530, 0.323020833e-6, 1.48118359, 0.03637709, 53.71852)
# Optimum in the solved error; Laudani et al. 2014, from memory, and found again by fitting.
CELL_SOLVED = Fit(0.760787966, 0.3106845706e-6, 1.477267778, 0.03654694566, 52.88978596)
# Two diodes; parameters quoted beside Gong's repaired adaptive differential evolution.
CELL_TWO_DIODES = Fit(
    0.760781, 0.225974e-6, 1.451017, 0.03674, 55.485441, second_saturation_current_A=0.749346e-6
)
# The fit of the paper of 1986 itself.
CELL_FIT_1986 = Fit(0.7608, 0.3223e-6, 1.4837, 0.0364, 53.7634)
# The module of 36 cells, optimum in the implicit error over 25 points.
MODULE_IMPLICIT = Fit(1.030514, 3.482263e-6, 48.642835, 1.201271, 981.982240, MODULE_K)
# The same, optimum in the solved error over all 26 points; found by fitting, then recognised.
MODULE_SOLVED = Fit(1.0323575931, 2.4965957e-6, 47.398555, 1.24054734, 748.3230838, MODULE_K)
