"""What the present state is held against."""

from __future__ import annotations

from functools import partial

from pvsim.app.session.record import Record
from pvsim.app.words import _
from pvsim.array.scenario import Scenario

__all__ = ["Comparing"]


class Comparing(Record):
    """The commands that choose what to compare with."""

    def keep_before(self, *, silently: bool = False) -> None:
        """Keep the present state as the one all further changes are compared with."""
        said = self.said if silently else _("The present curves are kept to compare with.")
        self._update(comparison="kept", before=self.solution, before_scenario=self.scenario, said=said)

    def compare_with(self, scenario: Scenario) -> None:
        """Compare all further changes with another scenario, as an address carries it."""

        def compare() -> None:
            settled = self._settled_or_told(scenario)
            if settled is not None:
                before_scenario, before, _released = settled
                self._update(comparison="kept", before=before, before_scenario=before_scenario)

        self.when_there(partial(self._carry_out, compare))

    def drop_before(self) -> None:
        """Compare with the state before the last change again."""
        said = _("Compared with the state before the last change.")
        self.when_there(
            partial(self._carry_out, lambda: self._update(comparison="last", said=said, **self._last()))
        )

    def compare_nothing(self) -> None:
        """Show no earlier state."""
        self._update(comparison="off", before=None, before_scenario=None, said=_("Nothing to compare with."))
