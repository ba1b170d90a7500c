"""What meters would make of a case: read, refused, and the same numbers that the field gives."""

from __future__ import annotations

from math import isnan

import pytest

from pvsim.array import Fault, Place, add_fault, solve_array
from pvsim.errors import PvsimError, StudyError
from pvsim.field import NOTICED, Probe, against_neighbour, against_prediction
from pvsim.files import read_demo
from pvsim.study import Axis, Column, read_study, run_study, write_study
from pvsim.study.metered import VERDICTS, Metered, metered_value, read_metered
from tests.study.samples import place_axis, study

ROOF = read_demo("workshop")
WHERE = place_axis("1/2", name="module")
FAULTS = Axis(vary="fault", at="module", values=("cell-open", "diode-open", "cable-open"))


def columns(*texts: str) -> tuple[Column, ...]:
    return tuple(Column(f"c{number}", text) for number, text in enumerate(texts))


def test_verdicts_count_up_from_unchanged() -> None:
    assert set(VERDICTS) == set(NOTICED)
    assert list(VERDICTS) == list(reversed(NOTICED))


def test_a_column_reads_what_the_field_says_of_the_same_two_arrays() -> None:
    table = run_study(
        study(
            WHERE,
            FAULTS,
            base=ROOF,
            columns=columns(
                "neighbour[string of module].current.verdict",
                "neighbour[string of module].current.ratio",
                "prediction[array].power.ratio",
                "prediction[2].open-voltage.verdict",
            ),
        ),
        workers=1,
    )
    assert table.failed == 0
    sound = solve_array(ROOF)
    here, there = (Probe(what="current", place=Place(string)) for string in (1, 2))
    for row, kind in enumerate(FAULTS.values):
        place = {"cell-open": Place(1, 2, cell=1), "diode-open": Place(1, 2, diode=1), "cable-open": Place(1)}
        now = solve_array(add_fault(ROOF, Fault(kind, place[kind])))
        beside = against_neighbour(sound, now, here, there)
        assert VERDICTS[int(table["c0"][row])] == beside.verdict
        assert table["c1"][row] == pytest.approx(beside.ratio, rel=1e-6, abs=1e-9)
        alone = against_prediction(sound, now, Probe(what="power"))
        assert table["c2"][row] == pytest.approx(alone.ratio, rel=1e-6, abs=1e-9)
        assert table["c3"][row] == 0.0, "the other string's own voltage stays"
    assert table["c0"].tolist()[::2] == [3.0, 3.0]
    assert table["c0"][1] == 0.0, "an open diode shows in no current while all is lit"


def test_a_string_without_a_neighbour_has_no_number_and_no_problem() -> None:
    lone = read_demo("single-module")
    one = study(
        Axis(vary="transmission", at=Place(1, 1), values=(0.5,)),
        base=lone,
        columns=columns("neighbour[1].current.verdict", "prediction[1].current.verdict"),
    )
    table = run_study(one, workers=1)
    assert table.failed == 0
    assert isnan(table["c0"][0])
    assert table["c1"][0] == 3.0


def test_such_a_column_stands_in_a_file_and_reads_back() -> None:
    one = study(WHERE, FAULTS, base=ROOF, columns=columns("neighbour[module].voltage.ratio"))
    assert read_study(write_study(one)) == one


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("neighbour[module].current", "what a meter would make of the change"),
        ("neighbour[module].current.ratio * 2", "what a meter would make of the change"),
        ("neighbour[module].curent.ratio", "Did you mean 'current'"),
        ("prediction[cell of module].current.ratio", "is to be measured at"),
        ("prediction[module].power.ratio", "is to be measured at"),
        ("prediction[modul].current.ratio", "asks for a place of 'modul'"),
        ("prediction[9].current.ratio", "does not exist"),
    ],
)
def test_what_cannot_be_read_is_refused_before_any_work(text: str, match: str) -> None:
    with pytest.raises(PvsimError, match=match):
        study(WHERE, FAULTS, base=ROOF, columns=columns(text))


def test_a_verdict_has_no_unit() -> None:
    with pytest.raises(StudyError, match="a name without a unit"):
        study(WHERE, FAULTS, base=ROOF, columns=(Column("x_A", "prediction[1].current.ratio"),))


def test_all_else_is_left_to_the_other_grammar() -> None:
    assert read_metered("now[array].power_W") is None
    assert read_metered(" prediction [ array ] . power . ratio ") == Metered(
        "prediction", "array", "power", "ratio"
    )
    sound = solve_array(ROOF)
    assert metered_value(Metered("prediction", "array", "power", "ratio"), sound, sound) == 0.0
