"""`pvsim limits`, in words and as JSON."""

from __future__ import annotations

import json

import pytest

from pvsim.files import read_demo
from pvsim.safety import Ratings, cold_voltages, earth_voltages, reverse_currents
from pvsim.safety.sentences import CAUTIONS


def test_limits_are_told_with_the_cautions_beside_them(run) -> None:
    code, out, err = run("limits", "rope-walk", "--lowest", "-20", "--system", "380", "--module-fuse", "16")
    assert (code, err) == (0, "")
    assert "ABOVE 380" in out
    assert "NO fuse fits" in out
    assert all(caution in out for caution in CAUTIONS)
    assert "licensed person" in out


def test_json_has_the_numbers_that_the_functions_give(run) -> None:
    read = ("--minus", "-100", "--plus", "160")
    code, out, _err = run("limits", "workshop", *read, "--fault", "2/5", "--json")
    found = json.loads(out)
    roof = read_demo("workshop")
    assert code == 0
    assert [one["cold_V"] for one in found["cold"]] == [one.cold_V for one in cold_voltages(roof, Ratings())]
    assert [one["driven_A"] for one in found["reverse"]] == [
        one.driven_A for one in reverse_currents(roof, Ratings())
    ]
    assert [one["joint"] for one in found["earth_faults"]] == [3, 3]
    assert found["earth_voltages"]["minus_V"] == earth_voltages(roof, 2, 5).minus_V
    assert found["cautions"]


def test_a_fault_goes_both_ways_through_the_command(run) -> None:
    _code, out, _err = run("limits", "workshop", "--fault", "1/6", "--fault-ohm", "2e6", "--json")
    volts = json.loads(out)["earth_voltages"]
    read = ("--minus", str(volts["minus_V"]), "--plus", str(volts["plus_V"]))
    code, out, _err = run("limits", "workshop", *read, "--string", "1")
    assert code == 0
    assert "Between modules 6 and 7 of string 1" in out
    assert "2000" in out.replace("\u202f", "").replace("\u2009", "").replace(",", "")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--lowest", "-60"), "lowest_C"),
        (("--system", "0"), "system_voltage_V"),
        (("--minus", "-3"), "one of two voltages"),
        (("--minus", "3", "--plus", "200"), "voltage of minus to earth"),
        (("--minus", "-300", "--plus", "200"), "add up to"),
        (("--minus", "-100", "--plus", "160", "--string", "3"), "no string 3"),
        (("--fault", "1"), "is no module"),
        (("--fault", "1/9"), "module 9 does not exist"),
        (("--fault", "1/3", "--meter", "0"), "no such resistance"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(run, words: tuple[str, ...], said: str) -> None:
    code, out, err = run("limits", "workshop", *words)
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
