"""`pvsim wiring` and `pvsim day`: a roof's wirings compared, a day played, from the command line."""

from __future__ import annotations

import json

import pytest

from pvsim.array.rewire import spots_of
from pvsim.array.usual_wirings import mounted_spots
from pvsim.files import read_scenario


def cable_m(out: str) -> dict[str, float]:
    """Metres by wiring, from the table."""
    found = {}
    for line in out.splitlines():
        cells = line.rsplit(maxsplit=6)
        if len(cells) == 7 and cells[1].replace(".", "").isdigit():
            found[cells[0].strip()] = float(cells[1])
    return found


def test_wirings_are_compared_and_the_shortest_found_is_worse_than_none(run) -> None:
    code, out, err = run("wiring", "rope-walk", "--search", "2")
    assert (code, err) == (0, "")
    metres = cable_m(out)
    assert {"as it is", "row by row", "serpentine", "leapfrog", "shortest found"} <= set(metres)
    assert metres["shortest found"] == min(metres.values())


def test_a_wiring_is_taken_into_a_file(run, tmp_path) -> None:
    path = tmp_path / "roof.toml"
    code, _out, err = run("wiring", "rope-walk", "--take", "leapfrog", "-o", path)
    assert (code, err) == (0, "")
    taken = read_scenario(path.read_text(encoding="utf-8"))
    assert sorted(spot for string in spots_of(taken) for spot in string) == list(mounted_spots(taken))
    code, out, _err = run("wiring", path)
    metres = cable_m(out)
    assert metres["as it is"] == metres["leapfrog"]


def test_a_day_is_played_at_a_site(run) -> None:
    site = ("--latitude", "54", "--longitude", "15", "--utc-offset", "1")
    asked = ("day", "single-module", *site, "--step", "60")
    code, out, err = run(*asked, "--date", "2026-06-21", "--json")
    assert (code, err) == (0, "")
    summer = json.loads(out)
    assert summer["hour"][0] < 5 < 19 < summer["hour"][-1]
    winter = json.loads(run(*asked, "--date", "2026-12-21", "--json")[1])
    assert winter["power_kWh"] < summer["power_kWh"] / 2
    assert "kWh" in run(*asked, "--date", "2026-06-21")[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("day", "workshop"), "has no day"),
        (("day", "workshop", "--latitude", "54"), "no date is given"),
        (("day", "workshop", "--latitude", "154", "--date", "2026-06-21"), "latitude_deg"),
        (("day", "workshop", "--latitude", "54", "--date", "21.6.2026"), "is no date"),
        (("wiring", "rope-walk", "--take", "frog"), "Did you mean 'leapfrog'"),
        (("wiring", "rope-walk", "--strings", "9999"), "strings"),
    ],
)
def test_what_cannot_be_done_is_told(run, words: tuple[str, ...], said: str) -> None:
    code, _out, err = run(*words)
    assert code == 2
    assert said in err
