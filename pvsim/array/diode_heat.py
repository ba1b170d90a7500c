"""How warm a conducting bypass diode gets: its own power times a thermal resistance.

The resistances belong to no product. They are those of a common axial Schottky diode of 45 V and 20 A
(public data sheet of 2013): 7 K/W from the junction to the case, 40 K/W from the junction to still air
when the diode hangs on its leads. What a junction box adds between case and air is left out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

TO_CASE_K_W = 7.0
TO_STILL_AIR_K_W = 40.0


def junction_rise_K(power_W: ArrayLike, resistance_K_W: float) -> NDArray[np.float64]:
    """By how much a diode's junction is warmer than what its heat goes to.

    Parameters
    ----------
    power_W : array_like
        Of the diode in generator convention: negative while it takes power up.
    resistance_K_W : float
        From the junction to the case, or to the air.

    Returns
    -------
    ndarray
        In K; nothing where a diode takes no power up.
    """
    return np.maximum(-np.asarray(power_W, dtype=np.float64), 0.0) * resistance_K_W
