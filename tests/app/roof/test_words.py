"""Every fault has its place among the tools, and what is dangerous on a real roof is said first."""

from __future__ import annotations

import re

import pytest

from pvsim.app.assets import STATIC
from pvsim.app.roof.words import CAUTIONS, FAULT_GROUPS, roof_words
from pvsim.array.fault_kind import FAULT_KINDS

OFF_THE_DRAWING = {"earth-fault", "string-bridge"}  # the solver can do them, scenario files can say them
OFFERED = {
    condition: scope
    for scope, _title, _first, sets in FAULT_GROUPS
    for _name, kinds in sets
    for condition, _short in kinds
}


def test_every_fault_but_those_of_scenario_files_can_be_chosen() -> None:
    assert set(OFFERED) - {"shade:0"} == set(FAULT_KINDS) - OFF_THE_DRAWING


def test_a_fault_is_offered_where_it_may_sit() -> None:
    for kind, scope in OFFERED.items():
        if kind != "shade:0":
            assert scope in FAULT_KINDS[kind].scopes


def test_a_dead_cell_is_four_different_things() -> None:
    (dead,) = [kinds for _sc, _t, _f, sets in FAULT_GROUPS for name, kinds in sets if name == "Dead cell"]
    assert [condition for condition, _short in dead] == ["shade:0", "cell-open", "cell-short", "cell-cracked"]


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        pytest.param("cable-open", "Never separate a connector that carries current", id="cable"),
        pytest.param("module-reversed", "Modules are live whenever light falls on them", id="module"),
        pytest.param("diode-open", "can burn", id="diode"),
        pytest.param("cell-short", "proper equipment", id="short"),
    ],
)
def test_the_caution_is_there_before_the_action(kind: str, said: str) -> None:
    assert said in CAUTIONS[kind]


def test_what_takes_the_array_apart_carries_a_caution() -> None:
    assert "Never separate a connector that carries current" in roof_words()["wire"]["caution"]
    for kind, one in FAULT_KINDS.items():
        untouched = kind in ("soiling", "induced-shunting")  # nobody unplugs anything for these
        if one.scope in ("string", "module") and kind in OFFERED and not untouched:
            assert kind in CAUTIONS


def test_the_script_asks_only_for_words_there_are() -> None:
    words = roof_words()
    script = "".join(path.read_text(encoding="utf-8") for path in (STATIC / "roof").glob("*.js"))
    asked = set(re.findall(r"(?:d\.|(?<![.\w]))words\.(\w+)", script))
    apart: set[str] = set()
    for own, file in (("circuit", "circuit.js"), ("wire", "wire_options.js")):
        theirs = set(re.findall(r"words\.(\w+)", (STATIC / "roof" / file).read_text(encoding="utf-8")))
        assert theirs <= set(words[own]), theirs - set(words[own])
        apart |= theirs
    assert asked - apart - {"circuit"} <= set(words), asked - apart - set(words)
    wire = set(re.findall(r"words\.wire\.(\w+)", script))
    assert wire <= set(words["wire"]), wire - set(words["wire"])


@pytest.mark.parametrize(
    ("kind", "named"),
    [("diode-open", "open"), ("diode-reversed", "reversed"), ("diode-resistive", "burnt contact")],
)
def test_a_caution_about_a_diode_speaks_of_what_is_wrong_with_that_one(kind: str, named: str) -> None:
    said = roof_words()["cautions"][kind]
    others = {"an open ", "a reversed ", "a burnt contact "} - {f"a {named} ", f"an {named} "}
    assert f"{named} " in said
    assert not any(other in said for other in others)
