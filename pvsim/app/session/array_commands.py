"""What can be changed of the array: light, faults, shadows, wiring, modules, operating point."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, cast

from pvsim.app.session.record import Record
from pvsim.app.session.sentences import (
    describe_change_of,
    describe_changes,
    describe_fault,
    describe_operation,
    describe_places,
)
from pvsim.app.session.shadows import SHADOW_TITLES, new_shadow
from pvsim.app.session.tool import parse_condition
from pvsim.app.words import _
from pvsim.array import change
from pvsim.array.array import Module, String
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.array.module import ModuleType
from pvsim.array.operation import Operation, OperationKind
from pvsim.array.part_place import place_at, place_holds
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place, level_of
from pvsim.array.scatter import USUAL_SCATTER, Scatter
from pvsim.array.scenario import FirstView, Scenario
from pvsim.errors import PvsimError
from pvsim.numbers import format_setting

__all__ = ["ArrayCommands"]

USUAL_ROW = 20  # modules; a new string of no more lies in one row


def new_array(
    now: Scenario, strings: int, modules: int, kind: str, types: tuple[ModuleType, ...] | None = None
) -> Scenario:
    """Equal strings of one module type in perfect order, in rows as strings lie; light and weather stay.

    Parameters
    ----------
    types : tuple of ModuleType, optional
        What the scenario's own types are then; those of now if left out.
    """
    string = String(modules=(Module(kind),) * modules)
    array = replace(
        now.array,
        strings=(string,) * strings,
        modules_per_row=max(modules, USUAL_ROW),
        surfaces=(),
        unwired=(),
        cables=None,
    )
    return replace(
        now,
        title=_("{strings} × {modules} modules").format(strings=strings, modules=modules),
        note="",
        module_types=now.module_types if types is None else types,
        array=array,
        light=replace(now.light, painted=(), shadows=()),
        faults=(),
        operation=Operation(),
        first_view=FirstView(quantity=now.first_view.quantity),
    )


class ArrayCommands(Record):
    """The commands that change the array; each is one step to undo."""

    # Cells and parts

    def paint(self, places: Sequence[Place], transmission: float) -> None:
        """Let `transmission` (0 to 1) of the light through to these places; 1 takes the shade away."""
        places = tuple(places)
        where = describe_places(self._stroked(places))
        if transmission >= 1.0:
            transmission, what = 1.0, _("{where} in full light").format(where=where)
        else:
            what = _("{where} shaded to {percent}").format(
                where=where, percent=format_setting(100.0 * transmission, "%")
            )
        self._commit(lambda now: change.paint_over(now, places, transmission), what, places, stroke=True)

    def apply_condition(self, place: Place) -> None:
        """Do what `condition` says at this place; the second time on the same place undoes it."""
        try:
            condition = parse_condition(self.condition)
            kind, size = condition.kind, condition.size
            if kind == "shade":
                again = change.painted_transmission(self.scenario, place) == size
                self.paint([place], 1.0 if again or size is None else size)
            elif kind == "mend":
                self.mend(place)
            else:
                target = self._scoped(place, kind)
                if any(fault.kind == kind for fault in change.faults_at(self.scenario, target)):
                    self.mend(target, kind)
                else:
                    self.break_part(target, kind, size)
        except PvsimError as error:
            self._refuse(error)

    def break_part(self, place: Place, kind: str, size: float | None = None) -> None:
        """Give the part at this place a fault; `size` in the unit of the kind, None for its usual size."""

        def broken(now: Scenario) -> Scenario:
            return change.add_fault(now, Fault(kind, place, size))

        title = _(FAULT_KINDS[kind].title) if kind in FAULT_KINDS else kind
        self._commit(broken, describe_fault(place, title), (place,))

    def mend(self, place: Place, kind: str | None = None) -> None:
        """Take all faults and paint off this place and what it holds; or one kind of fault at it."""

        def mended(now: Scenario) -> Scenario:
            for fault in now.faults:
                chosen = fault.place == place if kind else place_holds(now, place, fault.place)
                if chosen and kind in (None, fault.kind):
                    now = change.remove_fault(now, fault)
            if kind is None:
                painted = [one.place for one in now.light.painted if place_holds(now, place, one.place)]
                now = change.clear_paint(now, painted)
            return now

        what = _("{where} mended").format(where=describe_place(place))
        self._commit(mended, what, (place,), stroke=True)

    def mend_all(self) -> None:
        """Take every fault, paint and shadow away and leave the rest as it is."""

        def mended(now: Scenario) -> Scenario:
            return change.set_light(replace(now, faults=()), painted=(), shadows=())

        self._commit(mended, _("everything mended"))

    def plant_fault(self, planted: Callable[[Scenario], Scenario], place: Place, title: str) -> None:
        """Put a fault that was found on a measured curve of a part on the bench, as `planted` does it."""
        self._commit(planted, describe_fault(place, title), (place,))

    def _scoped(self, place: Place, kind: str) -> Place:
        """The part a fault of this kind would hit when somebody points at `place`."""
        known = fault_kind(kind)
        if level_of(place) in known.scopes:
            return place
        return place_at(self.scenario, place, known.scope)

    # Shadows, light and weather

    def add_shadow(self, kind: str, **where: float) -> None:
        """Let a shadow of this kind fall on the roof; `where` names fields of Shadow."""
        what = _(SHADOW_TITLES.get(kind, kind))
        self._commit(lambda now: change.add_shadow(now, new_shadow(now, kind, **where)), what)

    def move_shadow(self, index: int, x_m: float, y_m: float) -> None:
        """Move a shadow; moves between begin_stroke and end_stroke are one step to undo."""
        self._commit(lambda now: change.move_shadow(now, index, x_m, y_m), _("the shadow moved"), stroke=True)

    def change_shadow(self, index: int, **changes: float) -> None:
        """Resize or turn a shadow, with changes named as the fields of Shadow."""
        self._commit(
            lambda now: change.change_shadow(now, index, **changes), _("the shadow changed"), stroke=True
        )

    def remove_shadow(self, index: int) -> None:
        """Take a shadow away."""
        self._commit(lambda now: change.remove_shadow(now, index), _("the shadow taken away"))

    def set_light(self, **changes: float) -> None:
        """Change irradiance, diffuse share or rear irradiance, named as the fields of Light."""
        self._commit(lambda now: change.set_light(now, **changes), describe_changes(changes), stroke=True)

    def set_weather(self, **changes: Any) -> None:
        """Change temperatures, wind or the way heat is treated, named as the fields of Weather."""
        self._commit(lambda now: change.set_weather(now, **changes), describe_changes(changes), stroke=True)

    # Array, strings, modules, operating point

    def set_scatter(self, scatter: Scatter | None) -> None:
        """Let cells and modules of one kind differ, or with None be equal."""
        said = _("all cells equal") if scatter is None else _("cells scattered")
        self._commit(lambda now: change.set_scatter(now, scatter), said)

    def change_scatter(self, **changes: float) -> None:
        """Change how far cells and modules differ, or what that is drawn from: fields of Scatter."""
        self._commit(
            lambda now: change.set_scatter(now, now.scatter or USUAL_SCATTER, **changes),
            _("cells scattered otherwise"),
        )

    def set_array(self, **changes: Any) -> None:
        """Change tracking, wiring, orientation and the like, named as the fields of Array."""
        self._commit(lambda now: change.set_array(now, **changes), describe_changes(changes))

    def set_string(self, *, length: int | None = None, **changes: Any) -> None:
        """Change the string in focus, or all when the whole array is: fields of String, or its length."""
        place = self._string_in_focus()

        def changed(now: Scenario) -> Scenario:
            if length is not None:
                now = change.set_string_length(now, length, place)
            return change.set_strings(now, place, **changes)

        said = describe_changes({"length": length, **changes} if length is not None else changes)
        self._commit(changed, describe_change_of("string", place, said))

    def set_modules(self, **changes: Any) -> None:
        """Change modules, fields of Module: the one in focus, or all of the string or array shown."""
        place = self.modules_in_view()
        said = describe_changes({name: self._named(name, value) for name, value in changes.items()})
        self._commit(
            lambda now: change.set_modules(now, place, **changes), describe_change_of("module", place, said)
        )

    def modules_in_view(self) -> Place:
        """What changes of modules go to: the module in focus, from afar all of the string or of the array."""
        place = self._string_in_focus()
        near = self.level not in ("array", "string")
        return replace(place, module=self.focus.module) if near and place.string else place

    def _named(self, name: str, value: Any) -> Any:
        """A module type by its title, which people read."""
        known = {one.name: one for one in (*CATALOGUE.values(), *self.scenario.module_types)}
        return _(known[value].title) if name == "type" and value in known else value

    def _string_in_focus(self) -> Place:
        return Place(self.focus.string) if self.level != "array" else WHOLE_ARRAY

    def build_array(self, strings: int, modules: int, kind: str) -> None:
        """Put equal strings of one module type on the roof, in perfect order; light and weather stay."""

        self._commit(lambda now: new_array(now, strings, modules, kind), _("a new array"), begins=True)

    def use_module_type(self, kind: ModuleType, *, strings: int = 0, modules: int = 0) -> None:
        """Take a module type into the scenario and for all modules; with counts for a new array of it."""

        def used(now: Scenario) -> Scenario:
            if not strings:
                return change.use_module_type(now, kind)
            types = change.put_module_type(now.module_types, kind)
            return new_array(now, strings, modules, kind.name, types)

        what = _("{title} used for all modules").format(title=kind.title)
        self._commit(used, what, begins=bool(strings))

    def set_operation(self, kind: str, value: float | None = None) -> None:
        """Operate the array at its MPP, a voltage (V), a current (A) or a load (ohm)."""
        self._commit(
            lambda now: change.set_operation(now, cast(OperationKind, kind), value),
            describe_operation(kind, value),
            stroke=True,
        )
