"""What holds a circuit at its terminals."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats


class Drive(NamedTuple):
    """What holds the terminals, a V + b I = c, and a leak from every node.

    a, b and c have the shape (points,). The leak, to the minus terminal, is no part of
    the mesh: it is a way to a solution.
    """

    a: Floats
    b: Floats
    c: Floats
    leak_S: float = 0.0

    def pick(self, points: NDArray[np.intp]) -> Drive:
        """The drive of some points."""
        return Drive(self.a[points], self.b[points], self.c[points], self.leak_S)
