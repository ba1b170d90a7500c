"""The map of a study: its rows, columns and blocks, and what its cells say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.errors import StudyError
from pvsim.files import read_demo
from pvsim.files.figure.matrix import draw_matrix
from pvsim.files.figure.sheet import Sheet
from pvsim.study import Axis, Column, StudyTable, read_own_study, run_study
from pvsim.study.metered import VERDICTS
from pvsim.study.notice_map import check_map, notice_map
from pvsim.words import speaking
from tests.files.figure.letters import faults
from tests.study.samples import LOST, place_axis, study

OWN = read_own_study("would-you-notice")
# The study that comes along, without the scatter of its cells: two seconds in place of half a minute.
EVEN = replace(OWN, axes=tuple(one for one in OWN.axes if one.vary != "scatter_seed"))


@pytest.fixture(scope="module")
def table() -> StudyTable:
    return run_study(EVEN, workers=1)


def cell(matrix, fault: str, letter: str, block: int) -> str:
    return matrix.blocks[block].cells[matrix.rows.index(fault)][ord(letter) - ord("A")]


def test_the_study_that_comes_along_has_cells_that_differ_from_a_seed_alike_before_and_after() -> None:
    (seed,) = [one for one in OWN.axes if one.vary == "scatter_seed"]
    assert seed.setup
    check_map(OWN)


def test_every_case_is_solved_and_stands_in_its_cell(table: StudyTable) -> None:
    assert table.failed == 0
    matrix = notice_map(table)
    verdicts = [one.name for one in EVEN.columns if one.text.endswith(".verdict")]
    assert len(matrix.columns) == len(verdicts)
    assert [one.name for one in matrix.blocks] == [
        f"{strings} strings of {modules} modules" for strings in (2, 6) for modules in (4, 12)
    ]
    told = np.array([[[VERDICTS.index(key) for key in row] for row in one.cells] for one in matrix.blocks])
    np.testing.assert_array_equal(
        told.reshape(-1, len(verdicts)), np.column_stack([table[name] for name in verdicts])
    )


def test_the_map_says_what_is_known_of_these_faults(table: StudyTable) -> None:
    """Common practice, no source: a display hides one cell in a large array, a neighbour shows it; an open
    diode is seen by nothing while all is lit; an earth fault by the insulation tester alone."""
    matrix = notice_map(table)
    for block in range(4):
        assert cell(matrix, "cell open", "D", block) == "changed"
        assert cell(matrix, "cell open", "A", block) != "changed"
        assert {cell(matrix, "bypass diode open", letter, block) for letter in "ABCDEFGH"} == {"unchanged"}
        earth = [cell(matrix, "earth fault", letter, block) for letter in "ABCDEFGH"]
        assert earth == ["unchanged"] * 7 + ["changed"]
        assert cell(matrix, "string cable open", "A", block) == "changed"


def test_no_verdict_at_the_array_gets_better_as_the_array_grows(table: StudyTable) -> None:
    by_size = table["display_power_ratio"].reshape(2, 2, -1)  # strings, modules, faults
    for smaller, larger in ((by_size[0], by_size[1]), (by_size[:, 0], by_size[:, 1])):
        assert (np.abs(larger) <= np.abs(smaller) + 0.01).mean() > 0.9  # a string too many by one is the same


def test_cases_of_several_seeds_make_one_cell_of_their_middle() -> None:
    small = replace(
        OWN,
        axes=(
            Axis(vary="modules", values=(4.0,), setup=True),
            Axis(vary="scatter_seed", values=(1.0, 2.0, 3.0), setup=True),
            place_axis("1/2", name="module"),
            Axis(vary="fault", at="module", values=("cell-short",)),
        ),
    )
    found = run_study(small, workers=1)
    matrix = notice_map(found)
    assert len(matrix.blocks) == len(matrix.rows) == 1
    for number, column in enumerate(one for one in small.columns if one.text.endswith(".verdict")):
        assert matrix.blocks[0].cells[0][number] == VERDICTS[int(np.sort(found[column.name])[1])]
    assert "Each cell is the middle one of 3 arrays" in " ".join(matrix.notes)


def test_what_has_no_neighbour_is_empty_and_what_cannot_be_has_a_sign() -> None:
    found = run_study(
        study(
            Axis(vary="strings", values=(1.0, 2.0), setup=True),
            Axis(vary="fault", at=place_axis("1/2").values[0], values=("fuse-blown", "cell-open")),
            base=read_demo("workshop"),
            columns=(Column("beside", "neighbour[1].current.verdict"),),
        ),
        workers=1,
    )
    matrix = notice_map(found)
    assert [one.cells for one in matrix.blocks] == [(("problem",), ("",)), (("problem",), ("changed",))]
    assert "problem" in matrix.signs
    assert matrix.columns == ("clamp meter, current, at string 1, against its neighbour",)


def test_a_study_without_verdicts_or_rows_has_no_map() -> None:
    with pytest.raises(StudyError, match="no verdict of an instrument"):
        check_map(study(columns=(LOST,)))
    set_up = Axis(vary="strings", values=(2.0,), setup=True)
    with pytest.raises(StudyError, match="changes nothing"):
        check_map(study(set_up, base=OWN.base, columns=(Column("x", "prediction[1].current.verdict"),)))


@pytest.mark.parametrize("sheet", [Sheet(), Sheet(width=440.0, type_scale=1.2)], ids=["usual", "narrow"])
def test_nothing_written_on_the_map_lies_on_anything_else(table: StudyTable, sheet: Sheet) -> None:
    for language in ("en", "de", "qps"):
        with speaking(language):
            matrix = notice_map(table)
            few = replace(matrix, blocks=matrix.blocks[2:])
            assert faults(draw_matrix(few, sheet=sheet)) == [], language
