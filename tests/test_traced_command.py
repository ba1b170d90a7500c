"""`pvsim traced`: what it prints, takes by hand and refuses."""

from __future__ import annotations

import io
import json
import sys

import pytest

from pvsim.traced.own import INVENTED_NAME, invented_bytes
from tests.test_cli import refused
from tests.test_layers import PAGE_PACKAGES, loaded_by

ON = ("--model", "workshop", "--place", "1/4")


def test_columns_and_key_figures_are_printed_without_a_model(run) -> None:
    code, out, _err = run("traced", INVENTED_NAME)
    assert code == 0
    for words in ("Voltage (V)", "current    mA", "89 rows, swept falling", "812.00 W/m2", "Isc    8.9117"):
        assert words in out
    assert "likeliest" not in out


def test_with_a_model_shapes_and_faults_are_printed(run) -> None:
    out = run("traced", INVENTED_NAME, *ON, "--procedure", "2")[1]
    assert "at 1000.0 W/m2 and 25.000 degrees C (translated)" in out
    assert "* steps in the curve" in out
    assert "Likeliest: shaded or cracked cells" in out
    assert "Runner-up" in out


@pytest.mark.parametrize(
    ("head", "spoilt", "more", "mend"),
    [
        pytest.param("U1,I1,U2", "7,33,7", (), "--column voltage=1", id="columns"),
        pytest.param("U [V],I [A]", "7,nan", (), "--leave-out", id="a-broken-row"),
        pytest.param("U [V],I [A]", "7,33", ON, "--irradiance and --temperature", id="light"),
    ],
)
def test_what_is_missing_is_asked_for_by_the_name_of_its_option(
    run, tmp_path, head, spoilt, more, mend
) -> None:
    path = tmp_path / "curve.csv"
    third = ",0" * head.count("U2")
    rows = [spoilt if volts == 7 else f"{volts},{40 - volts}{third}" for volts in range(41)]
    path.write_text("\n".join([head, *rows]), encoding="utf-8")
    assert mend in refused(run, "traced", path, *more)


def test_json_gives_every_number(run) -> None:
    values = json.loads(run("traced", INVENTED_NAME, *ON, "--json")[1])
    assert values["read_as"]["current"] == {"column": 3, "unit": "mA"}
    assert values["key_figures"]["isc_A"] == pytest.approx(8.91, abs=0.02)
    assert values["ranking"]["ranked"][0]["fault"] == "shaded-cell"
    assert values["ranking"]["ranked"][0]["size"] == pytest.approx(0.45, abs=0.01)
    assert sum(one["share"] for one in values["ranking"]["ranked"]) == pytest.approx(1.0)
    assert [one["shape"] for one in values["shapes"] if one["named"]] == ["steps"]
    assert not values["model"]["perhaps_another_part"]


def test_columns_may_be_given_by_hand_and_curves_come_from_the_standard_input(run, monkeypatch) -> None:
    rows = "\n".join(f"{k},{9 - (k / 10) ** 6:.3f},{k * 10}" for k in range(16))
    stdin = io.TextIOWrapper(io.BytesIO(f"a,b,c\n{rows}\n".encode()))
    monkeypatch.setattr(sys, "stdin", stdin)
    out = run("traced", "-", "--column", "voltage=3:mV", "--column", "current=2", "--json")[1]
    values = json.loads(out)
    assert values["file"] == "the standard input"
    assert values["key_figures"]["voc_V"] == pytest.approx(0.144, abs=0.003)  # 9 = (k / 10)^6


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nowhere.csv",), "nowhere.csv cannot be read"),
        ((".",), "is a folder"),
        ((INVENTED_NAME, "--place", "1"), "without --model"),
        ((INVENTED_NAME, "--column", "colour=1"), "--column is given"),
        ((INVENTED_NAME, "--column", "current=9:A"), "has no column 9"),
        ((INVENTED_NAME, "--column", "current=3:V"), "is read in 'V'"),
        ((INVENTED_NAME, "--irradiance", "5000"), "was measured at 5000"),
        ((INVENTED_NAME, "--model", "workshop", "--place", "1/4/2"), "a module, a string or the array"),
    ],
)
def test_what_cannot_be_done_is_refused_in_one_sentence(run, arguments, words) -> None:
    assert words in refused(run, "traced", *arguments)


def test_a_row_without_numbers_is_refused_or_left_out(run, tmp_path) -> None:
    path = tmp_path / "torn.csv"
    text = invented_bytes().replace(b"\r\n30;", b"\r\n30;nan;5\r\n30;", 1)
    path.write_bytes(text)
    assert "no usable number" in refused(run, "traced", path)
    assert run("traced", path, "--leave-out")[0] == 0


def test_it_needs_nothing_of_the_page() -> None:
    assert not loaded_by("from pvsim.cli import main; main(['traced', 'invented-module'])") & PAGE_PACKAGES
