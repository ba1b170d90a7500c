"""How the page shows the array: the part in view, what is seen of it, the looks, the lock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from pvsim.app.session.parameters import CURVE_VIEWS, FIRST_CONDITION, Parameters
from pvsim.app.session.tool import parse_condition
from pvsim.app.words import _
from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS, Place, parse_place
from pvsim.array.scenario import SHOWN_QUANTITIES, Quantity, Scenario, check_place
from pvsim.errors import PvsimError, ScenarioError, nearest
from pvsim.reading.worst_cell import worst_cell

__all__ = ["Showing"]


class Showing(Parameters):
    """The commands that change what is shown, and nothing of the array."""

    def set_focus(self, place: Place | str, level: str | None = None) -> None:
        """Look at a place, given as such or as typed ("2/5/14"; "string 2, module 5, cell 14")."""
        try:
            if isinstance(place, str):
                place = parse_place(place, near=self.focus)
            check_place(self.scenario, place)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(focus=place, level=level or self.level, notice="")

    def show_worst_cell(self) -> None:
        """Look at the cell that gives least, or eats most."""
        place = worst_cell(self.shown_solution)
        if self.locked or self.kept_back:
            self.tell(_("This would answer your prediction. It is shown once that is stored."))
        elif place is None:
            self.tell(_("All cells give the same: none is the worst."))
        else:
            self.set_focus(place, "cell")

    def set_level(self, level: str) -> None:
        """Show the curves of this level, of the part that holds the focus."""
        self._choose("level", level, SHOWN_LEVELS)

    def set_quantity(self, quantity: str) -> None:
        """Write this quantity into the cells."""
        self._choose("quantity", quantity, SHOWN_QUANTITIES)

    def set_view(self, view: str) -> None:
        """Show "curves", the "difference", how the curve is built from its "parts", or the "table"."""
        if view == "parts" and "parts" in self.kept_back:
            self.tell(_("This would answer your prediction. It is shown once that is stored."))
            return
        self._choose("view", view, CURVE_VIEWS)

    def lock(self, locked: bool, kept_back: Sequence[str] = ()) -> None:
        """Let changes wait or not, and keep out of sight what would answer a prediction."""
        kept_back = tuple(kept_back)
        view = CURVE_VIEWS[0] if self.view in kept_back else self.view
        moment = None if locked or kept_back else self.moment  # which might answer it
        self._update(locked=locked, kept_back=kept_back, view=view, moment=moment)

    def unfold(self, unfolded: bool = True) -> None:
        """Unfold the five levels, or fold them."""
        self._update(unfolded=bool(unfolded))

    def set_condition(self, condition: str, *, handed: bool = False) -> None:
        """Choose what a click or Space does: "shade:0.2", "mend", or a kind of fault.

        With `handed`, its tool is taken up even where it was the condition already: a finger begins by
        looking.
        """
        try:
            parse_condition(condition)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(condition=condition, handed=self.handed + handed, notice="")

    def show(
        self, *, theme: str | None = None, large: bool | None = None, keys: bool | None = None
    ) -> None:
        """Choose the looks of the page: colours, type size, single-letter keys."""
        wanted = {"theme": theme, "large": large, "keys": keys}
        self._update(**{name: value for name, value in wanted.items() if value is not None})

    def put_right(self) -> None:
        """Show what the page opens with: curves, folded levels, the usual tool, no choice of one view.

        A day stays open where the array has one of its own.
        """
        self.set_condition(FIRST_CONDITION, handed=True)
        day_open = self.day_open and self.scenario.day is not None
        right = {"view": CURVE_VIEWS[0], "unfolded": False, "day_open": day_open, "moment": None}
        self._update(**right, righted=self.righted + 1)

    def view_place(self, level: str | None = None) -> Place:
        """The part at `level` (default: the level shown) that holds the focus; the first one below it."""
        return place_at(self.scenario, self.focus, level or self.level)

    def scenario_as_shown(self) -> Scenario:
        """The scenario with what the page shows now as its first view, for files and links."""
        view = replace(self.scenario.first_view, focus=self.focus, quantity=cast(Quantity, self.quantity))
        return replace(self.scenario, first_view=view)

    def _choose(self, name: str, value: str, known: Sequence[str]) -> None:
        if value not in known:
            expected = "one of " + ", ".join(known)
            self._refuse(
                ScenarioError(
                    f"“{value[:40]}” is no {name}", expected=expected, mend=nearest(value[:40], known)
                )
            )
            return
        self._update(**{name: value, "notice": ""})
