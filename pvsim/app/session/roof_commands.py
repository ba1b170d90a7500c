"""What can be changed of a roof: where modules are mounted, which form which string, where cables meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pvsim.app.session.record import Record
from pvsim.app.session.sentences import count_word
from pvsim.app.session.wiring_errand import WiringErrand
from pvsim.app.words import _, ngettext
from pvsim.array import rewire as roof
from pvsim.array import surfaces
from pvsim.array.cables import Cables
from pvsim.array.mounting import LETTERS, Spot, format_spot
from pvsim.array.scenario import Scenario
from pvsim.array.usual_wirings import Wiring, block_wiring, string_lengths, usual_wirings
from pvsim.cabling import Found
from pvsim.errors import ScenarioError
from pvsim.numbers import format_number

__all__ = ["SEARCH_S", "USUAL_ORDERS", "RoofCommands"]

USUAL_ORDERS = ("row by row", "serpentine", "leapfrog", "blocks")
SEARCH_S = 20.0


class RoofCommands(Record):
    """The commands that change how a roof is mounted and wired; each is one step to undo."""

    _search: WiringErrand | None = None

    def mount_freely(self) -> None:
        """Put an array whose strings are rows on a surface, so that it can be mounted and wired freely."""
        self._commit(_mounted, _("modules on a surface, cables at their true lengths"))

    def draw_string(self, number: int, spots: Sequence[Spot]) -> int:
        """Let one string run through these modules alone, from its minus to its plus.

        Returns
        -------
        int
            The number that string has then; 0 where it is gone or nothing was done.
        """
        drawn = 0

        def changed(now: Scenario) -> Scenario:
            nonlocal drawn
            then, drawn = roof.draw_string(_mounted(now), number, spots)
            return then

        count = len(spots)
        through = ngettext("through {count} module", "through {count} modules", count).format(
            count=count_word(count)
        )
        taken = _("string {number} taken out").format(number=number)
        drawn_text = _("string {number} drawn {through}").format(number=number, through=through)
        self._commit(changed, drawn_text if spots else taken, stroke=True)
        return drawn

    def rewire(self, wiring: Wiring, what: str = "") -> None:
        """Let strings run through the modules in another order."""
        self._commit(lambda now: roof.rewire(_mounted(now), wiring), what or _("wired anew"))

    def wire_usual(self, name: str, strings: int, rows: int = 2, columns: int = 2) -> None:
        """Wire all mounted modules in one of USUAL_ORDERS, in strings as equal as can be."""
        if name not in USUAL_ORDERS:
            raise ValueError(name)

        def changed(now: Scenario) -> Scenario:
            now = _mounted(now)
            lengths = string_lengths(now, strings)
            if name == "blocks":
                return roof.rewire(now, block_wiring(now, lengths, rows, columns))
            return roof.rewire(now, usual_wirings(now, lengths)[name])

        title = {
            "row by row": _("wired row by row"),
            "serpentine": _("wired as a serpentine"),
            "leapfrog": _("wired every other one and back"),
            "blocks": _("wired in blocks of {rows} × {columns}").format(rows=rows, columns=columns),
        }[name]
        self._commit(changed, title)

    def turn_modules(self, spots: Sequence[Spot]) -> None:
        """Turn modules by 180 degrees where they are mounted."""
        self._commit(
            lambda now: roof.turn(_mounted(now), spots),
            _("{modules} turned by 180°").format(modules=_modules(spots)),
            stroke=True,
        )

    def mount_modules(self, spots: Sequence[Spot], kind: str = "") -> None:
        """Put modules down on free places, in no string yet; of the surface's type unless told."""

        def changed(now: Scenario) -> Scenario:
            now = _mounted(now)
            for spot in spots:
                usual = now.array.surfaces[spot.surface - 1].type if spot.surface <= len(LETTERS) else ""
                now = roof.mount(now, [spot], kind or usual)
            return now

        said = _("{modules} put down, in no string yet").format(modules=_modules(spots))
        self._commit(changed, said, stroke=True)

    def take_modules(self, spots: Sequence[Spot]) -> None:
        """Take modules off the roof."""
        said = _("{modules} taken away").format(modules=_modules(spots))
        self._commit(lambda now: roof.take_away(_mounted(now), spots), said, stroke=True)

    def set_cables(self, **changes: Any) -> None:
        """Change where the strings meet, or the cable, with changes named as the fields of Cables."""

        def changed(now: Scenario) -> Scenario:
            now = _mounted(now)
            cables = replace(now.array.cables or Cables(), **changes)
            return replace(now, array=replace(now.array, cables=cables))

        moved = {"box_x_m", "box_y_m"} & set(changes)
        said = _("the meeting box moved") if moved else _("another cable")
        self._commit(changed, said, stroke=True)

    # Surfaces

    def choose_surface(self, *, surface: int | None = None, row: int | None = None) -> None:
        """Show the settings of another surface, or of another row of it; row 0 stands for all."""
        if surface is not None:
            self._update(surface=surface, surface_row=0)
        if row is not None:
            self._update(surface_row=row)

    def set_surface(self, number: int, **changes: Any) -> None:
        """Change how a surface stands, with changes named as the fields of Surface."""
        self._commit(
            lambda now: surfaces.set_surface(_mounted(now), number, **changes),
            _("surface {letter} changed").format(letter=LETTERS[number - 1]),
        )

    def set_row(self, number: int, row: int | None, **changes: Any) -> None:
        """Change a row of places of a surface, or all of them; 0 places take it away."""
        self._commit(
            lambda now: surfaces.set_row(_mounted(now), number, row, **changes),
            _("rows of surface {letter} changed").format(letter=LETTERS[number - 1]),
        )

    def add_surface(self) -> None:
        """One more surface, free of modules."""
        self._commit(lambda now: surfaces.add_surface(_mounted(now)), _("one more surface"))

    def remove_surface(self, number: int) -> None:
        """Take a surface away with what is mounted on it."""
        self._commit(
            lambda now: surfaces.remove_surface(now, number),
            _("surface {letter} taken away").format(letter=LETTERS[number - 1]),
        )

    # The shortest wiring

    def search_wiring(self, strings: int) -> None:
        """Search for the shortest wiring in so many strings, beside the event loop; take it in the end."""
        if self.locked_now() or self.searching:
            return
        scenario = self.scenario
        try:
            now = _mounted(scenario)
            lengths = string_lengths(now, strings)
        except ScenarioError as error:
            self._refuse(error)
            return

        def came(found: Found) -> None:
            self._update(searching={"bought_m": found.bought_m, "least_bought_m": found.least_bought_m})

        def over(found: Found | None, wiring: Wiring, error: str) -> None:
            self._update(searching={}, notice=error)
            if found is None:
                return
            if self.scenario != scenario:
                self.tell(_("The roof was changed while the search ran: search again."))
                return
            metres = format_number(found.bought_m, "m")
            proved = _("the shortest wiring: {metres}, proved").format(metres=metres)
            best = _("the shortest wiring found: {metres}, none needs less than {least}").format(
                metres=metres, least=format_number(found.least_bought_m, "m")
            )
            self.rewire(wiring, proved if found.proved else best)

        self._update(searching={"bought_m": 0.0, "least_bought_m": 0.0}, notice="")
        self._search = WiringErrand(self.document)
        self._search.start(now, lengths, SEARCH_S, came, over)

    def stop_search(self) -> None:
        """End the search and take the best wiring it has found."""
        if self.searching and self._search is not None:
            self._search.stop()

    def drop_search(self) -> None:
        """Let go of a search with what it has found."""
        if self._search is not None:
            self._search.give_up()


def _mounted(scenario: Scenario) -> Scenario:
    """The scenario with surfaces and cables, which it may have already."""
    now = roof.on_surfaces(scenario)
    if now is scenario:
        return now
    return replace(now, array=replace(now.array, cables=now.array.cables or Cables()))


def _modules(spots: Sequence[Spot]) -> str:
    if len(spots) == 1:
        return _("the module on {spot}").format(spot=format_spot(spots[0]))
    return _("{count} modules").format(count=count_word(len(spots)))
