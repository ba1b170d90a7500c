"""Several parameters set at once: who watches them is called once, and sees all of it."""

from __future__ import annotations

from typing import Any

import param
import pytest

from pvsim.app.put import put


class Lamp(param.Parameterized):
    on = param.Boolean(False)
    power_W = param.Number(0.0, bounds=(0.0, 100.0))


def test_who_watches_is_called_once_and_sees_all_of_it() -> None:
    lamp, seen = Lamp(), []
    lamp.param.watch(lambda *events: seen.append((len(events), lamp.on, lamp.power_W)), ["on", "power_W"])
    put(lamp, on=True, power_W=40.0)
    assert seen == [(2, True, 40.0)]
    put(lamp, on=True, power_W=41.0)
    assert seen[1:] == [(1, True, 41.0)], "what is as it was is not told"


@pytest.mark.parametrize("values", [{"power_W": 40.0, "colour": "red"}, {"power_W": 101.0}])
def test_what_cannot_be_is_refused(values: dict[str, Any]) -> None:
    lamp = Lamp()
    with pytest.raises(ValueError, match=r"colour|power_W"):
        put(lamp, **values)
    assert lamp.power_W == 0.0
