"""What the drawing wants done with mounted modules and their wiring, as commands of the State."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from pvsim.app.component import Reply, Wish
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.limits import MAX_MOUNTED
from pvsim.array.mounting import Spot
from pvsim.numbers import format_fixed

__all__ = ["mounting_command", "searching_text"]

Run = Callable[[], None]


def mounting_command(
    state: State, wish: Wish, *, in_stroke: Callable[[Run], None], alone: Callable[[Run], None]
) -> Callable[[], Reply]:
    """The command that a wish asks for, its values read but nothing done yet.

    Parameters
    ----------
    state : State
    wish : dict
        "free", "string", "usual", "turn", "put", "take", "box", "section", "shortest" or "stop-search".
    in_stroke, alone : callable
        Carry out a step of the stroke that the wish names, or one of its own.

    Raises
    ------
    ValueError, KeyError, TypeError
        If it is none of them, or lacks a value.
    """
    act = wish["do"]
    if act == "free":
        return partial(alone, state.mount_freely)
    if act == "string":
        return partial(_draw_string, state, in_stroke, int(wish["number"]), _spots(wish))
    if act == "usual":
        sizes = [int(wish[name]) for name in ("strings", "rows", "columns")]
        return partial(alone, partial(state.wire_usual, str(wish["name"]), *sizes))
    if act in ("turn", "put", "take"):
        commands = {"turn": state.turn_modules, "put": state.mount_modules, "take": state.take_modules}
        return partial(in_stroke, partial(commands[act], _spots(wish)))
    if act == "box":
        where = {"box_x_m": float(wish["x"]), "box_y_m": float(wish["y"])}
        return partial(in_stroke, partial(state.set_cables, **where))
    if act == "section":
        return partial(alone, partial(state.set_cables, section_mm2=float(wish["section"])))
    if act == "shortest":
        return partial(state.search_wiring, int(wish["strings"]))
    if act == "stop-search":
        return state.stop_search
    raise ValueError(act)


def searching_text(found: Mapping[str, float]) -> str:
    """How far the search for the shortest wiring has come; "" while none runs."""
    if not found:
        return ""
    if not found["bought_m"]:
        return _("Searching…")
    metres, least = (format_fixed(found[name], "m", decimals=1) for name in ("bought_m", "least_bought_m"))
    return _("Searching: {metres} so far, none needs less than {least}").format(metres=metres, least=least)


def _draw_string(state: State, in_stroke: Callable[[Run], None], number: int, spots: list[Spot]) -> Reply:
    drawn = 0

    def draw() -> None:
        nonlocal drawn
        drawn = state.draw_string(number, spots)

    in_stroke(draw)
    return {"drawn": drawn}


def _spots(wish: Wish) -> list[Spot]:
    """The spots that a wish names, each (surface, row, place)."""
    return [Spot(*(int(number) for number in spot)) for spot in list(wish["spots"])[:MAX_MOUNTED]]
