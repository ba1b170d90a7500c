"""A rack under the sun in a few lines of numpy, none of them from pvsim: rays for shadows, counts for power

Sun: P. I. Cooper, Solar Energy 12 (1969) 333 (declination); hour angle 15 degrees an hour. Beam: A. B. and
M. P. Meinel, Applied Solar Energy (1976), 1353 W/m2 times 0.7 to the power AM^0.678. A string of substrings
follows those of share s or goes around them, whichever leaves more (J. W. Bishop, Solar Cells 25 (1988) 73).
Lit shares of cells are counted on points; both halves of a half-cut substring add their currents.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

LATITUDE_deg = 54.0
DIFFUSE = 0.12  # of the beam square to the sun, under a clear sky; order of magnitude
REAR = 0.1  # of the same, on the back and turned into current; over gravel, order of magnitude


@dataclass(frozen=True)
class Rack:
    """Modules of 24 rows of 6 half-cells in portrait, in one row; three substrings of two columns each."""

    modules: int = 8
    width_m: float = 1.142
    length_m: float = 2.27
    gap_m: float = 0.02
    tilt_deg: float = 35.0
    lower_edge_m: float = 1.2


def sun(day_of_year: int, hour: float) -> tuple[np.ndarray, float]:
    """Towards the sun as (east, north, up), by solar time, and its azimuth from south, west positive."""
    declination = np.radians(23.45) * np.sin(2 * np.pi * (284 + day_of_year) / 365)
    latitude, angle = np.radians(LATITUDE_deg), np.radians(15.0 * (hour - 12.0))
    up = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.cos(angle)
    west = np.cos(declination) * np.sin(angle)
    south = np.sin(latitude) * np.cos(declination) * np.cos(angle) - np.cos(latitude) * np.sin(declination)
    return np.array([-west, -south, up]), float(np.degrees(np.arctan2(west, south)))


def lost_shares(
    day_of_year: int, pole: tuple[float, float, float, float], rack: Rack | None = None
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Hours, power of the open rack (any unit), and the share that a pole (x, y, radius, height) takes."""
    rack = rack or Rack()
    x0, y0, radius, height = pole
    per = 6  # points of a cell each way
    u = (np.arange(6 * per) + 0.5) / (6 * per) * rack.width_m
    v = (np.arange(24 * per) + 0.5) / (24 * per) * rack.length_m  # from the lower edge up
    east = np.add.outer(np.arange(rack.modules) * (rack.width_m + rack.gap_m), u)
    tilt = np.radians(rack.tilt_deg)
    north, up = -rack.length_m + v * np.cos(tilt), rack.lower_edge_m + v * np.sin(tilt)
    normal = np.array([0.0, -np.sin(tilt), np.cos(tilt)])
    hours = np.arange(3.0, 21.25, 0.25)
    power, lost = np.zeros(len(hours)), np.zeros(len(hours))
    for k, hour in enumerate(hours):
        s, _azimuth = sun(day_of_year, hour)
        if s[2] < 0.02:
            continue
        beam = 1353 * 0.7 ** ((1 / s[2]) ** 0.678) * max(float(s @ normal), 0.0)
        diffuse = (DIFFUSE + REAR * s[2]) * 1353 * 0.7 ** ((1 / s[2]) ** 0.678)
        power[k] = beam + diffuse
        flat = np.hypot(s[0], s[1])
        dx, dy = (x0 - east)[:, None, :], (y0 - north)[None, :, None]
        along = (dx * s[0] + dy * s[1]) / flat
        beside = np.abs(dx * s[1] - dy * s[0]) / flat
        dark = (along > 0) & (beside < radius) & (up[None, :, None] + along * s[2] / flat < height)
        cells = dark.reshape(rack.modules, 24, per, 6, per).mean(axis=(2, 4))
        lit = 1.0 - cells * beam / power[k]
        halves = lit.reshape(rack.modules, 2, 12, 3, 2).min(axis=(2, 4))  # module, half, substring
        ability = np.sort(halves.mean(axis=1).ravel())[::-1]
        lost[k] = 1.0 - float((ability * np.arange(1, ability.size + 1)).max()) / ability.size
    return hours, power, lost


def of_the_day(power: np.ndarray, lost: np.ndarray) -> float:
    return float((power * lost).sum() / power.sum())
