"""The command line: what it prints, writes and refuses."""

from __future__ import annotations

import io
import json
import os
import shutil
import socket
import subprocess
import sys
import xml.etree.ElementTree as ET
from types import SimpleNamespace

import numpy as np
import pytest

import pvsim
from pvsim.array import Fault, Place, add_fault, level_curve, parse_place, set_operation, solve_array
from pvsim.cli import main
from pvsim.files import demo_names, pack, read_curve, read_demo, read_scenario, write_scenario
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.shipped import shipped
from pvsim.traced.own import INVENTED, INVENTED_NAME
from tests.patience import PATIENCE_s
from tests.test_layers import CIRCUIT

BYPASSED = """\
format = 1
title = "Nineteen cells in the sun, one in the shade"
[cell_types.a]
photocurrent_A = 9.5
saturation_current_A = 1e-9
ideality = 1.0
series_resistance_ohm = 0.005
shunt_resistance_ohm = 10.0
[diode_types.b]
saturation_current_A = 1e-5
[parts.cells]
series = [{ cell = "a", count = 19 }, { cell = "a", irradiance_W_m2 = 100.0 }]
[circuit]
parallel = [{ part = "cells" }, { diode = "b" }]
"""


def refused(run, *arguments):
    """The one sentence on the error output of a call that ends with 2."""
    code, out, err = run(*arguments)
    assert code == 2
    assert out == ""
    assert err.startswith("pvsim: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize("name", demo_names())
def test_every_scenario_that_comes_along_is_solved(run, name):
    code, out, _ = run("solve", name)
    assert code == 0
    assert out.startswith(read_demo(name).title)
    assert "MPP" in out
    assert "delivered" in out
    assert MODEL_LIMITS[1] in out


def test_json_gives_every_cell_with_units_in_the_names(run):
    code, out, _ = run("solve", "workshop", "--json")
    values = json.loads(out)
    solution = solve_array(read_demo("workshop"))
    assert code == 0
    assert values["pvsim"] == pvsim.__version__
    assert values["limits"] == list(MODEL_LIMITS)
    np.testing.assert_array_equal(values["cells"]["power_W"], solution.cells.power_W)
    assert values["trackers"][0]["operating_point"]["power_W"] == solution.power_W
    assert "curve" not in values["trackers"][0]["characteristic"]
    _, out, _ = run("solve", "workshop", "--json", "--curve")
    assert len(json.loads(out)["trackers"][0]["characteristic"]["curve"]["voltage_V"]) == 400


def test_a_place_is_solved_on_its_own_and_in_the_array(run):
    _, out, _ = run("solve", "workshop", "--json", "--place", "1/4/17")
    part = json.loads(out)["part"]
    alone = level_curve(read_demo("workshop"), Place(1, 4, cell=17))
    assert part["place"] == "1/4/17"
    assert part["characteristic"]["isc_A"] == alone.isc_A
    assert part["in_the_array"]["irradiance_W_m2"] == 1000.0
    _, out, _ = run("solve", "workshop", "--place", "string 1, module 4")
    assert "Characteristic of string 1, module 4 on its own" in out


@pytest.mark.parametrize("place", ["array", "2", "2/5", "2/5/s3", "2/5/d3", "2/5/14"])
def test_places_of_every_level_are_understood(run, place):
    code, out, _ = run("solve", "workshop", "--json", "--place", place)
    assert code == 0
    assert ("part" in json.loads(out)) == (parse_place(place) != Place())


@pytest.mark.parametrize(
    ("point", "key", "value"),
    [("250V", "voltage_V", 250.0), ("12.5A", "current_A", 12.5), ("12,5 A", "current_A", 12.5)],
)
def test_the_operating_point_is_held_where_asked(run, point, key, value):
    _, out, _ = run("solve", "workshop", "--json", "--at", point)
    held = json.loads(out)["trackers"][0]["operating_point"]
    assert held[key] == pytest.approx(value, rel=1e-9)  # stated solver tolerance


def test_a_current_asked_for_is_refused_without_a_path_and_one_in_a_file_is_let_go(run, tmp_path):
    cut = read_demo("workshop")
    for number in (1, 2):
        cut = add_fault(cut, Fault("cable-open", Place(number)))
    path = tmp_path / "cut.toml"
    path.write_text(write_scenario(set_operation(cut, "current", 5.0)), encoding="utf-8")
    code, out, _ = run("solve", path)
    assert code == 0
    assert "no path for the 5 A that the array is held at: it goes back to its MPP." in out
    assert "no path for the 5 A" in json.loads(run("solve", path, "--json")[1])["released"]
    assert "no path for the 5 A" in refused(run, "solve", path, "--at", "5A")


def test_a_load_resistance_takes_voltage_over_current(run):
    _, out, _ = run("solve", "workshop", "--json", "--at", "12ohm")
    held = json.loads(out)["trackers"][0]["operating_point"]
    assert held["voltage_V"] / held["current_A"] == pytest.approx(12.0, rel=1e-9)  # Ohm's law


def test_a_bare_circuit_is_solved_from_toml_json_and_standard_input(run, tmp_path, monkeypatch):
    import tomllib

    (tmp_path / "c.toml").write_text(BYPASSED, encoding="utf-8")
    (tmp_path / "c.json").write_text(json.dumps(tomllib.loads(BYPASSED)), encoding="utf-8")
    code, out, _ = run("solve", tmp_path / "c.toml", "--at", "0V", "--json")
    assert code == 0
    parts = json.loads(out)["parts"]
    assert [part["kind"] for part in parts] == ["cell"] * 20 + ["diode"]
    assert parts[19]["power_W"] < -10  # 19 cells push their current through the shaded one
    assert sum(part["power_W"] for part in parts) == pytest.approx(0.0, abs=1e-7)  # nothing leaves at 0 V
    assert run("solve", tmp_path / "c.json", "--at", "0V", "--json")[1] == out
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(BYPASSED.encode())))
    assert run("solve", "-", "--at", "0V", "--json")[1] == out


def test_equal_neighbours_of_a_circuit_share_a_line(run, tmp_path):
    (tmp_path / "c.toml").write_text(BYPASSED, encoding="utf-8")
    _, out, _ = run("solve", tmp_path / "c.toml")
    assert "1-19 cells, each" in out
    assert "20 cell" in out
    assert "21 diode" in out


def test_a_file_whose_name_starts_like_a_link_is_a_file(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "1.toml").write_text(CIRCUIT, encoding="utf-8")
    assert run("solve", "1.toml")[0] == 0


def test_a_link_is_as_good_as_a_file(run):
    word = pack(read_demo("railing"))
    expected = run("solve", "railing")[1]
    assert run("solve", word)[1] == expected
    assert run("solve", f"http://127.0.0.1:5610/?level=array&s={word}")[1] == expected


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        pytest.param(["solve", "workshp"], "Did you mean 'workshop'?", id="name"),
        pytest.param(["solve", "nowhere.toml"], "nowhere.toml cannot be read", id="file"),
        pytest.param(["solve", "."], ". is a folder; expected a text file", id="folder"),
        pytest.param(["solve", "1.abc"], "cut short or damaged", id="link"),
        pytest.param(["solve", "http://x/"], "carries no scenario", id="address"),
        pytest.param(["solve", "workshop", "--at", "3"], "--at 30V", id="point"),
        pytest.param(
            ["solve", "workshop", "--at", "1e99V"], "voltage of the operation is 1e+99 V", id="huge-point"
        ),
        pytest.param(["solve", "workshop", "--at", "1e999V"], "no operating point", id="huge-point"),
        pytest.param(["solve", "workshop", "--place", "3/1"], "string 3", id="place"),
        pytest.param(["solve", "workshop", "--place", "x"], "is not a place", id="no-place"),
        pytest.param(["export", "svg", "workshop", "-o", "/no/such/x.svg"], "cannot be written", id="output"),
        pytest.param(["check", "nowhere"], "nothing that can be checked", id="check"),
        pytest.param(["serve", "workshop", "--port", "99999999"], "from 0 to 65535", id="port"),
        pytest.param(["serve", "--language", "tlh"], "expected one of en, de", id="language"),
    ],
)
def test_bad_input_ends_with_two_and_one_sentence(run, arguments, says):
    assert says in refused(run, *arguments)


@pytest.mark.parametrize(
    "arguments", [["slove"], ["solve"], ["export", "pdf", "workshop"], ["solve", "a", "--x"]]
)
def test_a_wrong_call_ends_with_two_and_one_sentence(capsys, arguments):
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_file_that_is_no_text_is_refused(run, tmp_path):
    path = tmp_path / "x.toml"
    path.write_bytes(b"\xff\xfe\x00")
    assert "is not text" in refused(run, "solve", path)


def test_a_broken_scenario_is_refused_with_file_and_line(run, tmp_path):
    path = tmp_path / "roof.toml"
    text = write_scenario(read_demo("workshop")).replace("irradiance_W_m2", "irradiance_kW_m2", 1)
    path.write_text(text, encoding="utf-8")
    line = 1 + text[: text.index("irradiance_kW_m2")].count("\n")
    sentence = refused(run, "solve", path)
    assert f"{path.name}, line {line}, " in sentence
    assert "1 kW/m2 is 1000 W/m2" in sentence


def test_csv_and_toml_read_back(run):
    curve = read_curve(run("export", "csv", "workshop", "--place", "1/4")[1])
    found = level_curve(read_demo("workshop"), Place(1, 4))
    np.testing.assert_array_equal(curve.current_A, found.current_A)
    assert curve.label == "string 1, module 4"
    assert read_scenario(run("export", "toml", "ferry-terminal")[1]) == read_demo("ferry-terminal")


def test_figures_and_links_are_written_to_files(run, tmp_path):
    svg, png, link = tmp_path / "a.svg", tmp_path / "a.png", tmp_path / "a.txt"
    assert run("export", "svg", "mountain-hut", "-o", svg)[0] == 0
    assert run("export", "png", "mountain-hut", "--dark", "-o", png)[0] == 0
    assert run("export", "link", "mountain-hut", "-o", link)[0] == 0
    assert ET.parse(svg).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    assert png.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert link.read_text(encoding="utf-8").strip() == pack(read_demo("mountain-hut"))


def test_a_measured_curve_is_laid_beside_the_computed_one(run, tmp_path, monkeypatch):
    measured = tmp_path / "tracer.csv"
    measured.write_text("voltage_V;current_A\n40,5;0\n30;9,5\n20;9,8\n10;9,9\n0;10\n", encoding="utf-8")
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"
    assert run("export", "svg", "single-module", "--beside", measured, "-o", svg)[0] == 0
    said = ET.parse(svg).getroot().findtext("{http://www.w3.org/2000/svg}desc")
    assert said.endswith("tracer.csv: Isc 10.00 A, Voc 40.50 V, at most 285.0 W at 30.00 V and 9.50 A")
    plain = run("export", "png", "single-module", "-o", png)[0], png.read_bytes()
    assert run("export", "png", "single-module", "--beside", measured, "-o", png)[0] == plain[0] == 0
    assert png.read_bytes() != plain[1]
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(measured.read_bytes())))
    assert "the standard input: Isc 10.00 A" in run("export", "svg", "single-module", "--beside", "-")[1]
    # The one that comes along, as a tracer's program wrote it: mA, decimal commas, Windows' code.
    for name, called in ((shipped("curves") / INVENTED, INVENTED), (INVENTED_NAME, INVENTED_NAME)):
        found = run("export", "svg", "single-module", "--beside", name)[1]
        # Its first rows: 39.30 V and -0.416 A, 38.88 V and 0.746 A, and 0.416 of 1.162 A are 0.15 of 0.42 V.
        assert f"{called}: Voc 39.15 V" in found


def test_a_measured_curve_that_cannot_be_drawn_is_refused(run, tmp_path):
    measured = tmp_path / "tracer.csv"
    measured.write_text("voltage_V,current_A\n0,5\n1,5\n2,nan\n3,4\n4,3\n5,0\n", encoding="utf-8")
    beside = ("single-module", "--beside", measured)
    assert f"{measured.name}, line 4 holds no usable number" in refused(run, "export", "svg", *beside)
    assert "with svg or png" in refused(run, "export", "csv", *beside)
    nowhere = tmp_path / "nowhere.csv"
    said = refused(run, "export", "svg", *beside)
    assert said.endswith(" Mend the row, or take it out.\n")  # this command leaves none out
    for bad in (tmp_path, nowhere):  # as the command that reads measured curves says it
        assert refused(run, "export", "svg", "single-module", "--beside", bad) == refused(run, "traced", bad)
    assert "cannot be both" in refused(run, "export", "svg", "-", "--beside", "-")


def test_a_bare_circuit_has_curves_but_no_scenario(run, tmp_path):
    path = tmp_path / "c.toml"
    path.write_text(CIRCUIT, encoding="utf-8")
    assert "voltage_V,current_A,power_W" in run("export", "csv", path)[1]
    assert "cannot be written as link" in refused(run, "export", "link", path)
    assert "is a bare circuit" in refused(run, "serve", path)
    assert "no place" in refused(run, "solve", path, "--place", "1")


def test_check_names_file_line_wrong_and_mend(run, tmp_path):
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    text = write_scenario(read_demo("ferry-terminal"))
    good.write_text(text, encoding="utf-8")
    bad.write_text(text.replace('kind = "pole"', 'kind = "pool"'), encoding="utf-8")
    line = 1 + text[: text.index('kind = "pole"')].count("\n")
    code, out, _ = run("check", tmp_path)
    assert code == 1
    assert f"{bad}, line {line}: " in out
    assert "Did you mean 'pole'" in out
    assert out.endswith("2 files checked, 1 to mend\n")
    assert run("check", good)[:2] == (0, "1 file checked, all in order\n")
    code, out, _ = run("check", bad, "--json")
    problem = json.loads(out)["problems"][0]
    assert (code, problem["file"], problem["line"]) == (1, str(bad), line)


def test_check_warns_of_comparisons_and_lets_them_pass(run, tmp_path):
    from tests.course.samples import spoilt

    path = tmp_path / "sample.md"
    path.write_text(spoilt("Shade one cell.", "Shade one cell. Nobody does."), encoding="utf-8")
    code, out, _ = run("check", path)
    assert (code, f"warning: {path}, line " in out) == (0, True)
    assert out.endswith("1 file checked, all in order, 1 warning\n")
    told = json.loads(run("check", path, "--json")[1])
    assert (told["problems"], [one["file"] for one in told["warnings"]]) == ([], [str(path)])


def test_all_scenarios_that_come_along_are_in_order(run):
    from pvsim.files.demo import demo_folder

    code, out, _ = run("check", demo_folder())
    assert code == 0, out


def start(*arguments, **options):
    command = [sys.executable, "-m", "pvsim", *arguments]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **options)


def stop(process):
    process.terminate()
    try:
        return process.communicate(timeout=PATIENCE_s)
    finally:
        process.kill()


def test_a_taken_port_is_refused_in_one_sentence():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        process = start("serve", "--port", port, "--no-browser")
        out, err = process.communicate(timeout=PATIENCE_s)
    assert process.returncode == 2
    assert out == ""
    assert f"port {port} is in use" in err
    assert err.count("\n") == 1


def test_without_the_page_packages_the_page_asks_for_them():
    code = (
        "import sys; sys.modules['panel'] = None\n"
        "from pvsim.cli import main; sys.exit(main(['serve', '--no-browser']))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )
    assert done.returncode == 2
    assert (
        done.stderr
        == "pvsim: the page needs the package panel. Install it with: pip install 'pvsim[page]'.\n"
    )


def test_a_reader_that_has_seen_enough_is_no_error():
    command = f"{sys.executable} -m pvsim export csv workshop | head -n 1"
    done = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )
    assert done.stdout == f"# pvsim {pvsim.__version__}\n"
    assert done.stderr == ""


BRIDGED = """
[[faults]]
kind = "string-bridge"
place = "1/3"
other = "2/5"
"""


def test_an_array_that_faults_have_joined_is_solved_too(run, tmp_path):
    path = tmp_path / "bridged.toml"
    path.write_text(write_scenario(read_demo("workshop")) + BRIDGED, encoding="utf-8")
    code, out, _ = run("solve", path, "--json")
    assert code == 0
    whole = json.loads(run("solve", "workshop", "--json")[1])["power_W"]
    assert json.loads(out)["power_W"] < 0.95 * whole  # two unequal pairs of half strings share their voltages
    assert "voltage_V,current_A,power_W" in run("export", "csv", path)[1]


def test_the_array_is_drawn_beside_its_curves_where_that_is_asked_for(run, tmp_path):
    alone, beside = tmp_path / "a.svg", tmp_path / "b.svg"
    assert run("export", "svg", "rope-walk", "-o", alone)[0] == 0
    assert run("export", "svg", "rope-walk", "--drawing", "-o", beside)[0] == 0
    assert beside.stat().st_size > 3 * alone.stat().st_size, "2,400 cells"
    assert "has no drawing" in refused(run, "export", "csv", "rope-walk", "--drawing")


def test_an_exported_netlist_runs_in_ngspice_and_gives_the_exported_curve(run, tmp_path):
    ngspice = shutil.which("ngspice") or pytest.skip("ngspice is not installed")
    netlist, raw = tmp_path / "a.cir", tmp_path / "a.raw"
    assert run("export", "netlist", "workshop", "--place", "1/4", "-o", netlist)[0] == 0
    assert f"* pvsim {pvsim.__version__}" in netlist.read_text(encoding="utf-8").splitlines()
    subprocess.run(
        [ngspice, "-b", "-r", raw, netlist],
        env={**os.environ, "SPICE_ASCIIRAWFILE": "1"},
        check=True,
        capture_output=True,
        timeout=PATIENCE_s,
    )
    head, values = raw.read_text(encoding="utf-8", errors="replace").split("Values:")
    count = int(head.split("No. Variables:")[1].split()[0])
    rows = np.array(values.split(), dtype=float).reshape(-1, count + 1)[:, 1:]
    voltage, current = rows[:, 0], rows[:, count - 1]
    curve = read_curve(run("export", "csv", "workshop", "--place", "1/4")[1])
    lit = voltage >= 0
    found = np.interp(voltage[lit], curve.voltage_V, curve.current_A)
    np.testing.assert_allclose(current[lit], found, atol=2e-3)  # straight lines between 400 points


def test_a_negative_operating_point_needs_no_equals_sign(run) -> None:
    code, out, _ = run("solve", "single-module", "--at", "-5V", "--json")
    assert code == 0
    assert json.loads(out)["trackers"][0]["operating_point"]["voltage_V"] == pytest.approx(-5.0)
    assert run("solve", "single-module", "--at=-5V", "--json")[1] == out
    assert run("solve", "single-cell", "--at", "-.5V")[0] == 0
    assert run("solve", "single-cell", "--at", "-,5V")[0] == 0


def test_a_negative_current_of_a_bare_circuit_needs_no_equals_sign(run, tmp_path):
    (tmp_path / "c.toml").write_text(BYPASSED, encoding="utf-8")
    code, out, err = run("solve", tmp_path / "c.toml", "--at", "-5A", "--json")
    assert code == 0, err
    assert json.loads(out)["operating_point"]["current_A"] == pytest.approx(-5.0)


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="this system has no endless file")
def test_a_file_without_an_end_is_refused_at_once(run, tmp_path) -> None:
    code, _, err = run("solve", "/dev/zero")
    assert (code, "no ordinary file" in err) == (2, True)
    os.mkfifo(tmp_path / "pipe.toml")
    assert "no ordinary file" in run("solve", tmp_path / "pipe.toml")[2]


def test_a_stream_without_an_end_is_read_no_further_than_a_file_may_be_long(run, monkeypatch) -> None:
    class Endless(io.RawIOBase):
        def read(self, size: int = -1) -> bytes:
            assert 0 <= size < 20_000_000
            return b"x" * size

    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=Endless()))
    code, _, err = run("solve", "-")
    assert (code, "too many characters" in err) == (2, True)


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="this system has no endless file")
def test_a_course_with_an_endless_lesson_or_list_is_refused_at_once(run, tmp_path) -> None:
    (tmp_path / "course.toml").write_text('title = "x"\nlessons = ["a"]\n', encoding="utf-8")
    (tmp_path / "a.md").symlink_to("/dev/zero")
    code, out, _ = run("check", tmp_path)
    assert (code, "a.md is no ordinary file" in out) == (1, True)
    (tmp_path / "course.toml").unlink()
    (tmp_path / "course.toml").symlink_to("/dev/zero")
    code, out, err = run("check", tmp_path)
    assert "course.toml is no ordinary file" in out + err
    assert code


def test_lesson_serves_a_lesson_names_its_mistakes_and_opens_at_it(tmp_path):
    path = tmp_path / "leaf.md"
    path.write_text("+++\nformat = 1\n", encoding="utf-8")
    process = start("lesson", path, "--port", "0", "--no-browser")
    try:
        lines = [process.stdout.readline() for _ in range(2)]
        assert lines[0].startswith("leaf.md, line ")
        assert lines[1].startswith("pvsim is at ")
    finally:
        stop(process)


def test_serve_takes_lessons_from_a_folder_and_names_what_it_leaves_out(tmp_path):
    (tmp_path / "course.toml").write_text('title = "Mine"\nlessons = ["leaf"]\n', encoding="utf-8")
    (tmp_path / "leaf.md").write_text("+++\nformat = 1\n", encoding="utf-8")
    process = start("serve", "--lessons", tmp_path, "--port", "0", "--no-browser")
    try:
        assert process.stdout.readline().startswith("pvsim is at ")
    finally:
        _out, err = stop(process)
    assert "leaf.md, line " in err


@pytest.mark.parametrize("words", [["lesson", "nowhere"], ["serve", "--lessons", "nowhere"]])
def test_lessons_that_are_not_there_are_refused(run, words):
    code, _out, err = run(*words)
    assert code == 2
    assert "neither a lesson nor a folder" in err
