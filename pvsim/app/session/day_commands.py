"""The day on the roof: setting it up, which changes the array, and showing moments of it, which does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from pvsim.app.session.record import Record
from pvsim.app.words import _, mark
from pvsim.array.day import SOLID_KINDS, Day
from pvsim.array.layout import place_boxes_of
from pvsim.array.mounting import surface_box
from pvsim.array.rewire import on_surfaces
from pvsim.array.scenario import Scenario
from pvsim.day.moment import DayMoment
from pvsim.numbers import format_setting
from pvsim.sky.site import Site
from pvsim.sky.solid import Box, Parapet, Pole, Solid, TiltedRectangle

__all__ = ["PLACES", "SOLID_TITLES", "DayCommands", "clock_text", "new_solid", "usual_day"]

# Invented places; heights, latitudes and clocks go together as they do on Earth.
PLACES: dict[str, Site] = {
    "harbour": Site(
        latitude_deg=54.0,
        longitude_deg=10.5,
        height_m=5.0,
        utc_offset_h=1.0,
        title=mark("Harbour town, 54° north (invented)"),
    ),
    "pass": Site(
        latitude_deg=46.5,
        longitude_deg=9.5,
        height_m=2150.0,
        utc_offset_h=1.0,
        title=mark("Hut on a pass, 46.5° north, 2150 m (invented)"),
    ),
    "fjord": Site(
        latitude_deg=68.0,
        longitude_deg=15.0,
        height_m=20.0,
        utc_offset_h=1.0,
        title=mark("Village on a fjord, 68° north (invented)"),
    ),
    "plateau": Site(
        latitude_deg=-15.0,
        longitude_deg=-70.0,
        height_m=3800.0,
        utc_offset_h=-5.0,
        title=mark("Market on a plateau, 15° south, 3800 m (invented)"),
    ),
}
APART_m = 1.5
FIRST_DATE = date(2026, 6, 21)
SOLID_TITLES = {
    "pole": mark("pole"),
    "box": mark("box, such as a chimney"),
    "parapet": mark("parapet"),
    "row": mark("row of modules in front"),
}


def usual_day() -> Day:
    """The day that is set up first."""
    return Day(site=PLACES["harbour"], date=FIRST_DATE)


def new_solid(scenario: Scenario, kind: str, *, beside: int = 0) -> Solid:
    """A thing of usual size in front of the first surface, where its shadow falls on that at some time.

    Parameters
    ----------
    scenario : Scenario
        On surfaces.
    kind : "pole", "box", "parapet" or "row"
    beside : int
        How many things stand there already: poles and boxes are set beside one another.

    Notes
    -----
    Sizes are common practice, no source; all can be changed.
    """
    surface = scenario.array.surfaces[0]
    left, _top, right, bottom = (round(one, 2) for one in surface_box(place_boxes_of(scenario), 1))
    middle, front, height = round((left + right) / 2.0, 2), -bottom, surface.height_m
    aside = round(middle + APART_m * ((beside + 1) // 2) * (-1) ** beside, 2)
    if kind == "pole":
        return Pole(x_m=aside, y_m=round(front - 1.5, 2), radius_m=0.08, height_m=height + 4.0)
    if kind == "box":
        sizes = {"width_m": 0.8, "depth_m": 0.6, "height_m": height + 2.0}
        return Box(x_m=aside, y_m=round(front - 1.0, 2), **sizes)
    if kind == "parapet":
        ends = {"x_m": round(left - 1.0, 2), "to_x_m": round(right + 1.0, 2)}
        y = round(front - 0.8, 2)
        return Parapet(**ends, y_m=y, to_y_m=y, thickness_m=0.2, height_m=height + 0.8)
    return TiltedRectangle(
        x_m=middle,
        y_m=round(front - 3.0, 2),
        width_m=max(1.0, round(right - left, 2)),
        slope_m=2.0,
        tilt_deg=surface.tilt_deg,
        foot_m=height,
    )


def clock_text(hour: float) -> str:
    """An hour of the clock as it is written: "09:35"."""
    minutes = round(hour * 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


class DayCommands(Record):
    """The commands of a day; setting it up is one step to undo, looking at it none."""

    def open_day(self, opened: bool = True) -> None:
        """Open the day on the roof, or close it, which ends its film as well."""
        self._update(day_open=bool(opened), moment=self.moment if opened else None)

    def set_day(self, what: str = "", **changes: Any) -> None:
        """Set fields of Day: site, date, ground_reflectance, solids; what is not set yet is as usual."""
        self._commit_day(lambda day, _now: replace(day, **changes), what or _("the day set up"))

    def add_solid(self, kind: str) -> None:
        """Put a solid thing of this kind in front of the array."""
        if kind not in SOLID_KINDS:
            self.tell(_("That cannot be done."))
            return

        def added(day: Day, now: Scenario) -> Day:
            return replace(day, solids=(*day.solids, new_solid(now, kind, beside=len(day.solids))))

        self._commit_day(added, _("added: {thing}").format(thing=_(SOLID_TITLES[kind])))

    def change_solid(self, index: int, solid: Solid) -> None:
        """Put another thing in place of one, counted from 0."""

        def changed(day: Day, _now: Scenario) -> Day:
            return replace(day, solids=(*day.solids[:index], solid, *day.solids[index + 1 :]))

        self._commit_day(changed, _("a thing beside the roof changed"))

    def remove_solid(self, index: int) -> None:
        """Take a thing away, counted from 0."""

        def removed(day: Day, _now: Scenario) -> Day:
            return replace(day, solids=(*day.solids[:index], *day.solids[index + 1 :]))

        self._commit_day(removed, _("a thing beside the roof taken away"))

    def show_moment(self, moment: DayMoment | None) -> None:
        """Show the array at a time of its day, or in its own light again; no step, the array stays."""
        if moment is not None and (self.kept_back or self.locked_now()):
            return
        self._update(moment=moment)

    def _commit_day(self, changed: Callable[[Day, Scenario], Day], what: str) -> None:
        if not self.scenario.array.surfaces:
            what += "; " + _("the array lies on a surface of its own now")

        def put(now: Scenario) -> Scenario:
            now = on_surfaces(now)
            return replace(now, day=changed(now.day or usual_day(), now))

        self._commit(put, what)


def describe_surface(tilt_deg: float, azimuth_deg: float) -> str:
    """How a surface lies, in words."""
    return _("tilted by {tilt}, facing {azimuth}").format(
        tilt=format_setting(tilt_deg, "°").replace("\u00a0", ""),
        azimuth=format_setting(azimuth_deg, "°").replace("\u00a0", ""),
    )
