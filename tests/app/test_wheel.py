"""The wheel, installed elsewhere: everything is in it, and the page opens from it alone."""

from __future__ import annotations

import os
import subprocess
import sys
import urllib.error
import urllib.request
import venv
import zipfile
from pathlib import Path
from sysconfig import get_path

import pytest

from pvsim.circuit import kernel
from tests.patience import PATIENCE_s

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
NOT_SHIPPED = {".pyc"}
BESIDE = ("lessons", "static")
READ_ALL = """
from pvsim.course.folder.course_reader import OWN_LESSONS, course_languages, read_course
from pvsim.exercise.exercise_file import exercise_lessons, own_exercises
from pvsim.files.face import face_css
for language in course_languages(OWN_LESSONS):
    assert read_course(OWN_LESSONS, language).problems == ()
    assert all(own_exercises(lesson, language) for lesson in exercise_lessons())
assert face_css()
"""
WHERE = "from pvsim.shipped import shipped; print(shipped('lessons'), shipped('static'), sep='\\n')"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    pytest.importorskip("hatchling", reason="the wheel is built with hatchling")
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*command, "--wheel-dir", folder, ROOT], check=True, timeout=PATIENCE_s, cwd=folder)
    (built,) = folder.glob("pvsim-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """Python of a fresh environment with the wheel; what it depends on is borrowed, not fetched again."""
    folder = tmp_path_factory.mktemp("elsewhere")
    venv.create(folder / "venv", with_pip=False)
    python = folder / "venv" / "bin" / "python"
    (site,) = (folder / "venv" / "lib").glob("python3*/site-packages")
    command = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "--quiet",
        "--no-deps",
        "--no-index",
    ]
    subprocess.run([*command, wheel], check=True, timeout=PATIENCE_s, cwd=folder)
    # A path file inside a path file is not followed, so an editable pvsim cannot come in this way.
    (site / "borrowed.pth").write_text(get_path("purelib") + "\n", encoding="utf-8")
    return python


def run(python, *arguments, **options):
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    return subprocess.run(
        [python, *arguments],
        capture_output=True,
        text=True,
        timeout=PATIENCE_s,
        check=False,
        cwd=Path(python).parent,
        env=environment,
        **options,
    )


def test_the_wheel_holds_every_file_of_the_package_as_it_is(wheel):
    with zipfile.ZipFile(wheel) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    wanted = {
        path.relative_to(ROOT).as_posix(): path
        for path in (ROOT / "pvsim").rglob("*")
        if path.is_file() and path.suffix not in NOT_SHIPPED
    }
    for folder in BESIDE:  # in the checkout beside the package, in the wheel within it
        inside = {
            f"pvsim/{path.relative_to(ROOT).as_posix()}": path
            for path in (ROOT / folder).rglob("*")
            if path.is_file()
        }
        assert inside
        wanted |= inside
    assert not wanted.keys() - held.keys()
    assert [name for name, path in wanted.items() if held[name] != path.read_bytes()] == []
    for suffix in (".md", ".toml", ".css", ".js", ".woff2", ".html", ".mo"):
        assert any(name.endswith(suffix) for name in held), f"no {suffix} in the wheel"
    assert not [name for name in held if name.startswith("tests")]
    assert any(name.endswith("licenses/LICENSE") for name in held)


def test_the_installed_package_is_the_wheel_and_not_this_checkout(installed):
    found = Path(run(installed, "-c", "import pvsim; print(pvsim.__file__)").stdout.strip())
    assert found.is_relative_to(installed.parents[1])
    assert not found.is_relative_to(ROOT)


def test_an_installed_package_has_its_folders_within_it(installed):
    found = [Path(line) for line in run(installed, "-c", WHERE).stdout.split()]
    assert [path.name for path in found] == list(BESIDE)
    assert all(path.parent.name == "pvsim" and path.is_dir() for path in found)
    assert not any(path.is_relative_to(ROOT) for path in found)


def test_an_editable_installation_has_those_of_the_checkout_and_no_old_copy(tmp_path):
    """The build backend copies what a wheel holds elsewhere, and there it grows old."""
    pytest.importorskip("hatchling", reason="the wheel is built with hatchling")
    venv.create(tmp_path / "venv", with_pip=False)
    python = tmp_path / "venv" / "bin" / "python"
    (site,) = (tmp_path / "venv" / "lib").glob("python3*/site-packages")
    (site / "borrowed.pth").write_text(get_path("purelib") + "\n", encoding="utf-8")
    command = [sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps"]
    subprocess.run(
        [*command, "--no-index", "--no-build-isolation", "--editable", ROOT],
        check=True,
        timeout=PATIENCE_s,
        cwd=tmp_path,
    )
    assert run(python, "-c", WHERE).stdout.split() == [str(ROOT / name) for name in BESIDE]
    for old in (site / "pvsim").glob("*/*"):
        assert not old.is_file() or old.write_text("old") == 3
    done = run(python, "-c", READ_ALL)  # nothing reads the copies
    assert (done.returncode, done.stderr) == (0, "")


def test_a_checkout_that_is_not_installed_has_its_own(tmp_path):
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); {WHERE}"
    done = subprocess.run(
        [sys.executable, "-S", "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert done.stdout.split() == [str(ROOT / name) for name in BESIDE]


def test_lessons_and_scenarios_of_the_wheel_are_in_order(installed):
    """Its lessons are those of the checkout, byte for byte: here they are read, and not played once more."""
    done = run(installed, "-c", READ_ALL)
    assert (done.returncode, done.stderr) == (0, "")
    (package,) = {Path(line).parent for line in run(installed, "-c", WHERE).stdout.split()}
    folders = [package / name for name in ("scenarios", "studies", "sheets")]
    done = run(installed, "-m", "pvsim", "check", *folders)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "all in order" in done.stdout


def test_the_installed_package_speaks_other_languages(installed):
    code = "from pvsim.words import _, speaking\nwith speaking('de'): print(_('Junction box'))"
    assert run(installed, "-c", code).stdout.strip() == "Anschlussdose"


def test_the_installed_package_has_a_kernel_where_one_can_be_compiled(installed):
    code = "from pvsim.circuit.kernel import is_compiled; print(is_compiled())"
    assert run(installed, "-c", code).stdout.strip() == str(kernel.is_compiled())


def test_the_command_is_installed(installed):
    done = run(installed.with_name("pvsim"), "solve", "workshop")
    assert done.returncode == 0, done.stderr
    assert "MPP" in done.stdout


@pytest.fixture(scope="module")
def address(installed):
    """Where the installed package serves its page."""
    process = subprocess.Popen(
        [installed, "-m", "pvsim", "serve", "--port", "0", "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=installed.parent,
    )
    line = process.stdout.readline()
    if not line.startswith("pvsim is at http://"):
        process.kill()
        pytest.fail(line + process.communicate()[1])
    yield line.split()[3]
    process.terminate()
    process.communicate(timeout=PATIENCE_s)


def test_the_installed_page_and_all_its_static_files_are_served(address):
    with urllib.request.urlopen(address, timeout=PATIENCE_s) as answer:
        assert answer.status == 200
        page = answer.read().decode()
    assert "assets/theme.css" in page
    static = ROOT / "static"
    for path in static.rglob("*"):
        if path.is_file():
            name = path.relative_to(static).as_posix()
            with urllib.request.urlopen(f"{address}assets/{name}", timeout=PATIENCE_s) as answer:
                assert answer.read() == path.read_bytes(), name
    with pytest.raises(urllib.error.HTTPError) as caught:
        urllib.request.urlopen(f"{address}assets/../page.py", timeout=PATIENCE_s)
    caught.value.close()  # it holds the connection
    assert caught.value.code in (403, 404)


@pytest.mark.ui
def test_the_installed_page_opens_in_a_browser(address, browser):
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    try:
        page = context.new_page()
        failed, outside = [], []
        page.on("requestfailed", lambda request: failed.append(request.url))
        page.on("request", lambda request: outside.append(request.url))
        page.goto(address)
        page.wait_for_selector("html[data-ready=true]", state="attached", timeout=60_000)
        page.get_by_test_id("said").filter(has_text="W").wait_for(timeout=60_000)
        assert not failed
        assert not [url for url in outside if not url.startswith((address, "data:", "blob:"))]
    finally:
        context.close()
