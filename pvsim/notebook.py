"""How values draw themselves in a notebook.

A notebook asks a value for `_repr_svg_` or `_repr_html_`; these methods fetch the functions
here when they are asked, so a value carries no drawing and loads nothing before it is shown.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pvsim.array.scenario import Scenario
    from pvsim.array.solution import ArraySolution
    from pvsim.circuit.solution import Characteristic
    from pvsim.study.table import StudyTable

MOST_FIGURES = 4
MOST_ROWS = 20


def draw_characteristic(value: Characteristic) -> str:
    """Draw a characteristic as SVG."""
    from pvsim.files.curve import curve_of
    from pvsim.files.figure import draw_curves
    from pvsim.files.svg import write_svg

    return write_svg(draw_curves([curve_of(value)], title="I-V and P-V characteristic"))


def draw_scenario(value: Scenario) -> str:
    """Draw a scenario's roof as SVG, each cell by its light."""
    from pvsim.files.roof import draw_roof
    from pvsim.files.svg import write_svg

    return write_svg(draw_roof(value))


def draw_solution(value: ArraySolution) -> str:
    """Draw a solved array as HTML: the roof by power, each tracker's curve, the loss account."""
    from dataclasses import fields

    from pvsim.files.curve import curve_of
    from pvsim.files.figure import draw_curves
    from pvsim.files.numbers import number
    from pvsim.files.roof import draw_roof
    from pvsim.files.svg import write_svg

    title = value.scenario.title
    parts = [write_svg(draw_roof(value.scenario, value))]
    for tracker in value.trackers[:MOST_FIGURES]:
        label = "strings " + ", ".join(map(str, tracker.strings))
        parts.append(write_svg(draw_curves([curve_of(tracker.characteristic, label)], title=title)))
    if len(value.trackers) > MOST_FIGURES:
        parts.append(f"<p>and {len(value.trackers) - MOST_FIGURES} more trackers</p>")
    rows = "".join(
        f"<tr><th scope='row'>{escape(field.name.removesuffix('_W').replace('_', ' '))}</th>"
        f"<td>{number(getattr(value.losses, field.name))} W</td></tr>"
        for field in fields(value.losses)
    )
    parts.append(f"<table><caption>Where the power goes</caption>{rows}</table>")
    return "\n".join(parts)


def draw_table(value: StudyTable) -> str:
    """Draw the table of a study as HTML: its head, and as many rows as fit a page."""
    from pvsim.files.numbers import number

    def cell(one: object) -> str:
        known = isinstance(one, float)
        return escape(str(one)) if not known else "" if one != one else number(one, 5)  # type: ignore[arg-type]

    head = "".join(f"<th scope='col'>{escape(name)}</th>" for name in value.names)
    columns = [value[name][:MOST_ROWS].tolist() for name in value.names]
    fields = ["".join(f"<td>{cell(one)}</td>" for one in row) for row in zip(*columns, strict=True)]
    rows = "".join(f"<tr>{row}</tr>" for row in fields)
    more = f", the first {MOST_ROWS} shown" if len(value) > MOST_ROWS else ""
    done = f"{len(value):,} of {value.planned:,} cases, {value.failed:,} with a problem{more}"
    caption = f"{escape(value.study.title)}: {done}"
    return f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
