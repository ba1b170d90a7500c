"""Rows about arrays whose wiring is no tree, and about what is asked for beyond reason."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from random import Random
from typing import TYPE_CHECKING, Any

from pvsim.benchmark.row import Row

if TYPE_CHECKING:
    from pvsim.array import Scenario

TRIALS = 3
JOINED_BAR_S, ANSWER_BAR_S, LOOP_BAR_S = 0.2, 5.0, 0.3
Given = list[tuple[str, str, float, str]]
TWO_TO_EARTH: Given = [("earth-fault", "1/3", 1.0, ""), ("earth-fault", "2/6", 0.1, "")]
A_WIRE: Given = [("string-bridge", "1/3", 0.01, "2/6")]


def array_with(strings: int, modules: int, kind: str, faults: Given, *, pole_m: float, heat: str) -> Scenario:
    """Equal strings, joined by faults (kind, place, ohm, other place), a pole's shadow over them."""
    from pvsim.array import (
        Array,
        Fault,
        Light,
        Module,
        Scenario,
        Shadow,
        String,
        Weather,
        add_fault,
        parse_place,
    )

    row = String(modules=(Module(type=kind),) * modules)
    pole = Shadow(kind="pole", x_m=pole_m, y_m=3.0, width_m=0.12, height_m=30.0, angle_deg=15.0)
    scenario = Scenario(
        title="Joined strings, invented data",
        array=Array(strings=(row,) * strings, grounded="negative"),
        light=Light(shadows=(pole,)),
        weather=Weather(heat=heat),  # type: ignore[arg-type]
    )
    for name, place, ohm, other in faults:
        there = parse_place(other) if other else None
        scenario = add_fault(scenario, Fault(name, parse_place(place), ohm, there))
    return scenario


def joined() -> list[Row]:
    """Two earth faults, or a wire between strings, under a pole that has moved since the last solve."""
    from pvsim.array import solve_array

    slowest, which = 0.0, ""
    for strings, modules, kind in ((2, 8, "full-60"), (8, 24, "half-144")):
        for name, faults in (("two earth faults", TWO_TO_EARTH), ("a wire", A_WIRE)):
            times = []
            for trial in range(TRIALS + 1):  # the first warms up
                asked = array_with(strings, modules, kind, faults, pole_m=2.0 + 0.31 * trial, heat="fixed")
                times.append(_seconds(lambda asked=asked: solve_array(asked)))  # type: ignore[misc]
            median = sorted(times[1:])[TRIALS // 2]
            if median > slowest:
                slowest, which = median, f"{name}, {strings} x {modules} {kind}"
    return [
        Row(
            name="joined-strings",
            what="two earth faults or a wire between strings, 2 x 8 to 8 x 24 modules under a moving pole",
            figure=slowest,
            bar=JOINED_BAR_S,
            unit="s",
            note=f"slowest: {which}",
        )
    ]


def unreasonable() -> list[Row]:
    """What takes long, asked of a session as the page asks it: until it answers, and the loop meanwhile."""
    rng = Random(1)
    everywhere: Given = [
        ("earth-fault", f"{s}/{m}", 10.0 ** rng.uniform(-2.0, 3.0), "")
        for s in range(1, 9)
        for m in range(1, 25)
    ]
    asked = {
        "heat": array_with(8, 24, "half-144", TWO_TO_EARTH, pole_m=2.0, heat="feedback"),
        "an earth fault at every module": array_with(8, 24, "half-144", everywhere, pole_m=2.0, heat="fixed"),
    }
    longest, gap, notes = 0.0, 0.0, []
    for name, scenario in asked.items():
        seconds, blocked, refused = asyncio.run(_ask(scenario))
        longest, gap = max(longest, seconds), max(gap, blocked)
        notes.append(f"{name} {seconds:.1f} s" + (", refused" if refused else ""))
    return [
        Row(
            name="long-solves",
            what="8 x 24 modules with heat and a pole, or 192 earth faults: answer or refusal",
            figure=longest,
            bar=ANSWER_BAR_S,
            unit="s",
            note="; ".join(notes),
        ),
        Row(
            name="long-solves-loop",
            what="the same: longest stretch in which the event loop did not turn",
            figure=gap,
            bar=LOOP_BAR_S,
            unit="s",
        ),
    ]


async def _ask(scenario: Scenario) -> tuple[float, float, bool]:
    """Seconds until a session has answered, longest gap of the loop, and whether it was refused."""
    import shapely  # noqa: F401  (the server has it before a page asks)

    from pvsim.app.session.errand import Errand
    from pvsim.app.session.state import State
    from pvsim.files.demo import FIRST_DEMO, read_demo

    loop = asyncio.get_running_loop()

    class Turns:
        def add_next_tick_callback(self, turn: Callable[[], Any]) -> None:
            loop.call_soon_threadsafe(turn)

    state = State(read_demo(FIRST_DEMO))
    state.errand = Errand(Turns())  # type: ignore[arg-type]
    begun = last = time.perf_counter()
    gap = 0.0
    state.replace(scenario, fresh=True)
    while True:
        now = time.perf_counter()
        gap, last = max(gap, now - last), now
        if not state.computing:
            return now - begun, gap, state.scenario is not scenario
        await asyncio.sleep(0.001)


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
