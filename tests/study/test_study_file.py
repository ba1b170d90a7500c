"""Study files: what is written reads back equal, and what is wrong is refused in its place."""

from __future__ import annotations

import copy
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.array import Place
from pvsim.errors import FileError
from pvsim.files import read_demo, write_scenario
from pvsim.files.source import Source
from pvsim.study import Axis, Column, Every, Study, open_study, read_study, write_study
from pvsim.study.axis import FAULTS_ALONE
from pvsim.study.study_file import study_of
from tests.files.test_hostile import changed, odd, places_in
from tests.study.samples import place_axis, study

SMALL = """\
format = 1
title = "Shade on a module"
scenario = "workshop"

[[axes]]
vary = "module_type"
values = ["full-60", "full-72"]
setup = true

[[axes]]
name = "module"
vary = "place"
values = "every module of 2"

[[axes]]
vary = "transmission"
at = "module"
values = { from = 0, to = 0.3, steps = 3 }

[[axes]]
vary = "fault_size"
fault = "connector-resistive"
at = "1/2"
values = [1, 2.5]

[columns]
lost_W = "-delta[array].p_mp_W"
module_W = "now[module].power_W"
"""


def test_a_file_written_by_hand_is_read():
    assert read_study(SMALL) == Study(
        title="Shade on a module",
        base=read_demo("workshop"),
        axes=(
            Axis(vary="module_type", values=("full-60", "full-72"), setup=True),
            Axis(name="module", vary="place", values=Every("module", Place(2))),
            Axis(vary="transmission", at="module", values=(0.0, 0.3 * (1 / 3), 0.3 * (2 / 3), 0.3)),
            Axis(vary="fault_size", fault="connector-resistive", at=Place(1, 2), values=(1.0, 2.5)),
        ),
        columns=(
            Column("lost_W", "-delta[array].p_mp_W"),
            Column("module_W", "now[module].power_W"),
        ),
    )


@pytest.mark.parametrize(
    "one",
    [
        read_study(SMALL),
        study(
            place_axis("1/1/3", "1/1", "array"),
            Axis(vary="fault", at="part", other=Place(1, 2), values=("string-bridge", "soiling")),
            Axis(vary="shadow_x_m", shadow=3, values=(0.1, 1e-17, 0.30000000000000004)),
            Axis(vary="wiring", values=("cross-tied", "strings")),
        ),
    ],
)
def test_a_study_reads_back_equal(one):
    text = write_study(one)
    assert read_study(text) == one
    assert write_study(read_study(text)) == text


def test_every_kind_is_every_fault_that_needs_one_place():
    text = SMALL.replace('vary = "module_type"', 'vary = "fault"\nat = "1/1"').replace("setup = true", "")
    text = text.replace('["full-60", "full-72"]', '"every kind"')
    assert read_study(text).axes[0].values == FAULTS_ALONE
    text = text.replace('at = "1/1"', 'at = "1/1"\nother = "2/5"')
    assert set(read_study(text).axes[0].values) == {*FAULTS_ALONE, "string-bridge"}


def test_a_scenario_may_lie_beside_the_study_or_stand_in_it(tmp_path):
    own = write_scenario(read_demo("ferry-terminal"))
    (tmp_path / "quay.toml").write_text(own, encoding="utf-8")
    (tmp_path / "study.toml").write_text(SMALL.replace('"workshop"', '"quay"'), encoding="utf-8")
    found = open_study(tmp_path / "study.toml")
    assert found.base == read_demo("ferry-terminal")
    assert read_study(write_study(found)) == found


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        pytest.param('"workshop"', '"workshp"', 3, "Did you mean 'workshop'", id="scenario"),
        pytest.param('"workshop"', '"../workshop"', 3, "there is no scenario", id="elsewhere"),
        pytest.param("[[axes]]", "[[axis]]", 5, "Did you mean 'axes'", id="table"),
        pytest.param("setup = true", "set_up = true", 8, "Did you mean 'setup'", id="key"),
        pytest.param("setup = true", "setup = 1", 8, "true or false", id="flag"),
        pytest.param('vary = "module_type"', 'vary = "modul_type"', 6, "'module_type'", id="vary"),
        pytest.param('"full-72"', '"full-73"', 7, "mean 'full-72'", id="word"),
        pytest.param('"full-72"', "72", 7, "a text in quotes", id="number"),
        pytest.param("every module of 2", "every module of 3", 13, "string 3", id="string"),
        pytest.param("every module of 2", "all modules", 13, "every cell", id="every"),
        pytest.param('at = "module"', 'at = "modul"', 17, "before it", id="at"),
        pytest.param('at = "1/2"', 'at = "1/9"', 23, "module 9", id="at-place"),
        pytest.param('at = "1/2"', "", 20, "at of an axis is left out", id="no-at"),
        pytest.param("to = 0.3", "to = 30", 18, "from 0 to 1", id="percent"),
        pytest.param("steps = 3", "steps = 0", 18, "a whole number from 1", id="steps"),
        pytest.param("steps = 3", "count = 3", 18, "'count' is not known", id="count"),
        pytest.param("values = [1, 2.5]", "values = [1, nan]", 24, "finite numbers", id="nan"),
        pytest.param("values = [1, 2.5]", "values = [1, 1]", 24, "each value once", id="twice"),
        pytest.param("connector-resistive", "connector-bad", 22, "connector-resistive", id="fault"),
        pytest.param("lost_W", "lost_kW", 27, "Write it as lost_W", id="unit"),
        pytest.param("p_mp_W", "p_mpp_W", 27, "Did you mean 'p_mp_W'", id="quantity"),
        pytest.param("now[module]", "now[roof]", 28, "axis that goes through places", id="place"),
        pytest.param('"now[module].power_W"', "3", 28, "a text in quotes", id="no-text"),
        pytest.param("module_W", '"module W"', 28, "letters, digits", id="name"),
        pytest.param("format = 1", "format = 2", 1, "A file with a later format", id="later-format"),
    ],
)
def test_a_wrong_line_is_refused_with_its_number_and_how_to_mend_it(old, new, line, says):
    assert old in SMALL
    with pytest.raises(FileError) as caught:
        read_study(SMALL.replace(old, new, 1), "shade.toml")
    message = str(caught.value)
    assert f"shade.toml, line {line}, " in message
    assert says in message
    assert "\n" not in message


def test_a_mistake_in_a_scenario_of_its_own_has_its_line():
    text = write_study(study()).replace("irradiance_W_m2", "irradiance_kW_m2")
    line = 1 + text[: text.index("irradiance_kW_m2")].count("\n")
    with pytest.raises(FileError, match=rf"the study, line {line}, scenario\.light\.irradiance_kW_m2"):
        read_study(text)
    text = write_study(study()).replace('"full-36"', '"full-37"')
    line = 1 + text[: text.index('"full-37"')].count("\n")
    with pytest.raises(FileError, match=f"line {line}, scenario.array"):
        read_study(text)


@pytest.mark.parametrize("key", ["title", "scenario", "axes", "columns"])
def test_what_a_study_needs_is_asked_for(key):
    values = tomllib.loads(SMALL)
    del values[key]
    with pytest.raises(FileError, match=key):
        study_of(values, Source(name="x"))


@settings(max_examples=150)
@given(st.data(), odd)
def test_any_value_anywhere_in_a_study_is_taken_or_refused(data, new):
    document = tomllib.loads(SMALL)
    path = data.draw(st.sampled_from(list(places_in(document))[1:]))
    hostile = changed(copy.deepcopy(document), path, new)
    try:
        found = study_of(hostile, Source(name="odd"))
    except FileError as error:
        assert "\n" not in str(error)
        assert len(str(error)) < 1500
    else:
        assert isinstance(found, Study)


@pytest.mark.parametrize("end", range(1, len(SMALL), 11))
def test_a_file_cut_off_anywhere_is_read_or_refused_but_never_fails_otherwise(end):
    try:
        read_study(SMALL[:end], "cut.toml")
    except FileError as error:
        assert "cut.toml" in str(error)
