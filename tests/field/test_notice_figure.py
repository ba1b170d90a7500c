"""Would you notice, as a figure: where marks, bands and rules lie, what is said; nothing collides."""

from __future__ import annotations

from math import log10

import numpy as np
import pytest

from pvsim.array import Fault, Place, add_fault, paint, solve_array
from pvsim.field import RULES, Sight, notices_of, survey
from pvsim.field.notice_figure import notice_figure, noticed_sentence
from pvsim.files import read_demo
from pvsim.files.figure.drawing import DARK, LIGHT, Dot, Text
from pvsim.files.figure.png import write_png
from pvsim.files.figure.sheet import PAGE, Sheet, lay_out, lay_out_bare
from pvsim.files.figure.svg import write_inline_svg, write_svg
from pvsim.numbers import format_number
from pvsim.words import speaking
from tests.files.figure.letters import faults
from tests.looks import looks

ROOF = read_demo("workshop")
SOUND = solve_array(ROOF)
LEAF = solve_array(paint(ROOF, [Place(1, 4, cell=14)], 0.2))
OPEN = solve_array(add_fault(ROOF, Fault("cable-open", Place(1))))
STRING = survey(SOUND, LEAF, Place(1))
SHEETS = {
    "usual": PAGE,
    "narrow": Sheet(width=420.0),
    "narrow-in-large-type": Sheet(width=460.0, type_scale=1.6),
}


def clamp(sights: tuple[Sight, ...]) -> Sight:
    return next(one for one in sights if one.probe.what == "current")


def place_on_axis(ratio: float) -> float:
    """t(x) of the figure's own description, typed again."""
    return float(np.sign(ratio)) * log10(1.0 + abs(ratio) / 0.1)


def test_each_comparison_has_one_mark_where_its_ratio_is_and_two_shapes_tell_them_apart() -> None:
    panel = notice_figure(STRING, Place(1), title="x").panels[0]
    told = notices_of(STRING)
    assert len(panel.points) == len(told)
    for point, notice in zip(panel.points, told, strict=True):
        assert point.x == pytest.approx(place_on_axis(notice.ratio))
        assert point.shape == ("diamond" if notice.neighbour else "round")
        assert point.hollow == (notice.verdict != "changed")
    assert len({point.y for point in panel.points}) == len(told), "a lane each"


def test_bands_end_where_the_verdict_changes() -> None:
    panel = notice_figure(STRING, Place(1), title="x").panels[0]
    beside = clamp(STRING).beside
    assert beside is not None
    lane = panel.points[notices_of(STRING).index(beside)].y
    mine = [band for band in panel.bands if band.up[0] < lane < band.up[1]]
    ends = [band.across[1] for band in mine]
    wanted = (1.0, beside.random_uncertainty / beside.uncertainty, 0.5 * 0.01 / (2.0 * beside.uncertainty))
    assert ends == pytest.approx([place_on_axis(one) for one in wanted])
    assert [-band.across[0] for band in mine] == ends


def test_rules_fall_where_so_many_per_cent_less_are() -> None:
    panel = notice_figure(STRING, Place(1), title="x").panels[0]
    sight = clamp(STRING)
    lane = panel.points[notices_of(STRING).index(sight.alone)].y
    mine = [one for one in panel.traces if one.y[0] < lane < one.y[1]]
    right = float(SOUND.strings.current_A[0])
    wanted = [place_on_axis(-percent / 100.0 * right / (2.0 * sight.alone.uncertainty)) for percent in RULES]
    assert [float(one.x[0]) for one in mine] == pytest.approx(wanted)
    assert len({one.dash for one in mine}) == len(RULES), "told apart by their dashes"


def test_the_sentence_counts_who_would_notice_and_names_the_best() -> None:
    said = noticed_sentence(survey(SOUND, OPEN, Place(1)))
    assert said == (
        "Of 6 meters 2 would notice; "
        "best: voltmeter, open-circuit voltage, at string 1 against its neighbour."
    )
    assert "none would notice; nearest to it" in noticed_sentence(survey(SOUND, LEAF, Place()))
    same = noticed_sentence(survey(SOUND, SOUND, Place(1)))
    assert same == "Of 6 meters none would notice: none can show so small a change."
    assert noticed_sentence(()) == ""


def test_who_cannot_see_the_figure_is_told_every_row_of_it() -> None:
    figure = notice_figure(STRING, Place(1), title="x")
    assert figure.description.startswith(noticed_sentence(STRING))
    alone = clamp(STRING).alone
    ratio = format_number(alone.ratio, digits=2)
    assert f"clamp meter, current: against what it should be {ratio}, changed, unless" in figure.description


@pytest.mark.parametrize("sheet", looks(["usual"], ["narrow", "narrow-in-large-type"]))
@pytest.mark.parametrize("place", [Place(), Place(1), Place(1, 4)], ids=["array", "string", "module"])
def test_nothing_written_lies_on_anything_else(place: Place, sheet: str) -> None:
    for now in (LEAF, OPEN):
        sights = survey(SOUND, now, place)
        for language in ("en", "de", "qps"):
            with speaking(language):
                figure = notice_figure(sights, place, title=ROOF.title)
                for drawing in (lay_out(figure, LIGHT, SHEETS[sheet]), lay_out_bare(figure, SHEETS[sheet])):
                    assert faults(drawing) == [], language
                    said = " ".join(mark.text for mark in drawing.marks if isinstance(mark, Text))
                    assert figure.panels[-1].across.title in said, "the axis says all of what it is"


def test_diamonds_are_drawn_in_every_way_of_putting_a_figure_out() -> None:
    figure = notice_figure(STRING, Place(1), title="x")
    drawing = lay_out(figure, DARK)
    diamonds = [one for one in drawing.marks if isinstance(one, Dot) and one.shape == "diamond"]
    assert len(diamonds) == 1 + sum(one.beside is not None for one in STRING)  # one in the legend
    assert write_svg(drawing).count("<polygon") == len(diamonds)
    inline = write_inline_svg(lay_out_bare(figure))
    assert inline.count('<polygon class="power') == len(diamonds)
    assert inline.count('<polyline class="ink dashed"') == 1 + sum(
        len(one.alone_rules[1:]) + len(one.beside_rules[1:]) for one in STRING
    ), "the narrower rule, and one in the legend"
    assert inline.count("<path") > len(notices_of(STRING)) - 1, "bands with strokes"
    assert write_png(drawing, scale=1.0) != write_png(lay_out(figure, LIGHT), scale=1.0)
