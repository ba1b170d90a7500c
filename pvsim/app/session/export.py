"""What leaves the page: scenario file, link, characteristic and figure; each as a message to the browser."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable
from typing import Any

from pvsim.app.session.address import address_of
from pvsim.app.session.day_commands import clock_text
from pvsim.app.session.state import State
from pvsim.app.words import _, language, speaking
from pvsim.array.part_place import nearest_place, place_at
from pvsim.array.place import describe_place
from pvsim.array.solve import part_curve
from pvsim.exercise.paper import Document, parts_of_scenario, solution_sheet, work_sheet, write_pdf
from pvsim.files.curve import Curve, curve_of
from pvsim.files.curve_file import write_curve
from pvsim.files.figure.bench import draw_bench
from pvsim.files.figure.characteristic import draw_curves
from pvsim.files.figure.drawing import Drawing
from pvsim.files.figure.png import write_png
from pvsim.files.figure.svg import write_svg
from pvsim.files.scenario_file import write_scenario

__all__ = [
    "export_bench_png",
    "export_bench_svg",
    "export_csv",
    "export_png",
    "export_sheet",
    "export_solution",
    "export_svg",
    "link_to",
    "save_scenario",
]


def file_stem(state: State) -> str:
    """A file name from the scenario's title: letters, digits and hyphens only."""
    stem = re.sub(r"[^a-z0-9]+", "-", state.scenario.title.lower()).strip("-")[:60]
    return stem or "scenario"


def save_scenario(state: State) -> dict[str, Any]:
    """The scenario as a TOML file that opens as the page looks now."""
    return {
        "file": f"{file_stem(state)}.toml",
        "mime": "text/plain",
        "text": write_scenario(state.scenario_as_shown()),
    }


def link_to(state: State) -> dict[str, Any]:
    """The query of a link to exactly this state, and where others on the network find it, if they do."""
    return {"link": address_of(state), "reach": state.classroom.address if state.classroom else ""}


def export_csv(state: State) -> dict[str, Any]:
    """The characteristic of the part shown, as CSV; in English, as its columns are."""
    place = state.view_place()
    with speaking("en"):
        label = describe_place(place)
        label += _clock(state)
        text = write_curve(part_curve(state.shown_solution, place), title=state.scenario.title, label=label)
    return {"file": f"{file_stem(state)}-{state.level}.csv", "mime": "text/csv", "text": text}


def export_svg(state: State) -> dict[str, Any]:
    """The characteristic of the part shown, with the one it is compared with, as SVG."""
    return _svg(state, figure_of(state), state.level)


def export_png(state: State) -> dict[str, Any]:
    """The same figure as PNG, at twice its size for print."""
    return _png(state, figure_of(state), state.level)


def export_bench_svg(state: State) -> dict[str, Any]:
    """The array as it is drawn beside the characteristic of the part shown, as SVG."""
    return _svg(state, bench_of(state), "bench")


def export_bench_png(state: State) -> dict[str, Any]:
    """The same figure as PNG, at twice its size for print."""
    return _png(state, bench_of(state), "bench")


def export_sheet(state: State) -> dict[str, Any]:
    """A work sheet for the array on the bench, with axes of the part shown, as PDF."""
    return _paper(state, work_sheet, "work-sheet")


def export_solution(state: State) -> dict[str, Any]:
    """The solution of that work sheet."""
    return _paper(state, solution_sheet, "solution")


def _paper(state: State, make: Callable[..., Document], what: str) -> dict[str, Any]:
    parts = parts_of_scenario(state.scenario, state.view_place())
    data = write_pdf(make(parts, title=_(state.scenario.title), language=language().code))
    name = f"{file_stem(state)}-{what}.pdf"
    return {"file": name, "mime": "application/pdf", "base64": b64encode(data).decode("ascii")}


def _svg(state: State, drawing: Drawing, what: str) -> dict[str, Any]:
    return {"file": f"{file_stem(state)}-{what}.svg", "mime": "image/svg+xml", "text": write_svg(drawing)}


def _png(state: State, drawing: Drawing, what: str) -> dict[str, Any]:
    data = b64encode(write_png(drawing)).decode("ascii")
    return {"file": f"{file_stem(state)}-{what}.png", "mime": "image/png", "base64": data}


def _clock(state: State) -> str:
    """The time of the day that is shown, for behind a name; nothing in the array's own light."""
    if state.moment is None:
        return ""
    return ", " + _("{clock} of the day").format(clock=clock_text(state.moment.hour))


def bench_of(state: State) -> Drawing:
    """The array beside the characteristic of the part shown, in the colours of the page."""
    return draw_bench(state.shown_solution, _curves(state), theme=state.theme)


def figure_of(state: State) -> Drawing:
    """The figure of the part shown, in the colours of the page."""
    return draw_curves(_curves(state), title=state.scenario.title, theme=state.theme)


def _curves(state: State) -> list[Curve]:
    """The curve of the part shown, and the one it is compared with."""
    place = state.view_place()
    label = describe_place(place) + _clock(state)
    curves = [curve_of(part_curve(state.shown_solution, place), label)]
    before = state.shown_before
    if before is not None:
        scenario = before.scenario
        earlier = place_at(scenario, nearest_place(scenario, place), state.level)
        curves.append(curve_of(part_curve(before, earlier), _("before"), before=True))
    return curves
