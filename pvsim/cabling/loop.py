"""The loop that a string spans, in which a lightning stroke nearby induces a voltage."""

from __future__ import annotations

import numpy as np

from pvsim.cabling.checks import Floats, points

__all__ = ["loop_area_m2"]


def loop_area_m2(corners_m: Floats) -> float:
    """Area of the loop that a closed path encloses, as a uniform changing field meets it.

    Parameters
    ----------
    corners_m : (k, 2) or (k, 3)
        Corners in order, in m; the last is joined to the first.

    Returns
    -------
    float
        In m²: the greatest that the loop shows to any direction. Parts that are gone round the other
        way are taken off, as the voltages induced in them are.

    Notes
    -----
    A = |sum of r_k x r_(k+1)| / 2, the shoelace formula; in space its vector form. Corners are taken from
    the first one, which changes nothing but the rounding.
    """
    r = points("corners_m", corners_m)
    r = r - r[0]
    s = np.roll(r, -1, axis=0)
    if r.shape[1] == 2:
        return float(abs((r[:, 0] * s[:, 1] - r[:, 1] * s[:, 0]).sum()) / 2.0)
    return float(np.linalg.norm(np.cross(r, s).sum(axis=0)) / 2.0)
