"""The arrows between the layers, seen in a fresh Python, and the names each layer promises."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import pvsim
from tests.patience import PATIENCE_s

ROOT = Path(pvsim.__file__).parent
BASE = ("cabling", "sky", "circuit", "array")
LAYERS = (
    *BASE, "day", "safety", "reading", "files", "field", "sheet", "traced", "course", "exercise", "study",
    "store", "app",
)
MAY_IMPORT = {
    "cabling": {"cabling"},
    "sky": {"sky"},
    "circuit": {"circuit"},
    "array": set(BASE),
    "day": {"day", *BASE},
    "safety": {"safety", *BASE},
    "reading": {"reading", *BASE},
    "files": {"files", "reading", *BASE},
    "field": {"field", "files", "reading", "safety", *BASE},
    "sheet": {"sheet", "files", "reading", *BASE},
    "traced": {"traced", "files", "reading", *BASE},
    "course": {"course", "field", "files", "reading", "safety", "day", *BASE},
    "exercise": {"exercise", "course", "field", "files", "reading", "day", "safety", *BASE},
    "study": {"study", "course", "field", "safety", "files", "reading", "day", *BASE},
    "store": {"store"},
    "app": set(LAYERS),
}
# Layers that promise names to whoever imports them.
PROMISING = tuple(layer for layer in LAYERS if layer not in ("course", "app"))
# Within the layers that hold most, the folders that each folder may import; files beside them are shared
# by all, or put all together.
FOLDERS = {
    "files": {"figure": set()},
    "field": {"search": set()},
    "exercise": {"bank": set(), "paper": set()},
    "course": {
        "number": set(),
        "text": {"number"},
        "lesson": {"text", "number"},
        "play": {"lesson", "text", "number"},
        "folder": {"play", "lesson", "text", "number"},
        "lecture": {"play", "lesson", "text", "number"},
    },
    "app": {
        "door": set(),
        "mends": {"door"},
        "room": {"door"},
        "session": {"room", "door"},
        "roof": {"session"},
        "curves": {"session"},
        "day": {"session"},
        "lesson": {"session"},
        "lecture": {"session", "door"},
        "field": {"session"},
        "sheet": {"session", "roof"},
        "traced": {"session"},
        "shell": {"session"},
    },
}
SHARED = {"errors", "numbers", "prompt", "shipped", "words"}
# Above all that values are made of: `drawn` in pvsim/prompt.py fetches it when a notebook shows one.
ONE_WAY_UP = ("prompt.py", "pvsim.notebook")
PAGE_PACKAGES = {"panel", "bokeh", "param", "tornado", "pandas", "PIL", "IPython"}
SLOW_PACKAGES = {*PAGE_PACKAGES, "scipy", "shapely"}


def python_files(layer):
    return sorted((ROOT / layer).rglob("*.py"))


def module_name(path):
    """What a file is imported as."""
    parts = path.relative_to(ROOT.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


FILES = {module_name(path): path for path in sorted(ROOT.rglob("*.py"))}


@cache
def imports_of(path):
    """Modules of pvsim a file imports, wherever in the file: late ones and those for types as well."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            within = [f"{node.module}.{alias.name}" for alias in node.names]
            found += [name if name in FILES else node.module for name in within]
        elif isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.Call) and "import_module" in ast.dump(node.func):
            found += [one.value for one in node.args if isinstance(one, ast.Constant)]
    return [name for name in found if name.split(".")[0] == "pvsim"]


@pytest.mark.parametrize("layer", LAYERS)
def test_a_layer_imports_only_the_layers_above_it(layer):
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in python_files(layer)
        for name in imports_of(path)
        if "." in name and name.split(".")[1] not in MAY_IMPORT[layer] | SHARED
    ]
    assert not wrong


@pytest.mark.parametrize(
    ("layer", "folder"), [(layer, folder) for layer, folders in FOLDERS.items() for folder in folders]
)
def test_a_folder_imports_only_the_folders_above_it(layer, folder):
    others = {*FOLDERS[layer]} - FOLDERS[layer][folder] - {folder}
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in sorted((ROOT / layer / folder).glob("*.py"))
        for name in imports_of(path)
        if name.split(".")[1:2] == [layer] and name.split(".")[2] in others
    ]
    assert not wrong


def test_every_folder_has_its_place_among_the_others():
    for layer, folders in FOLDERS.items():
        found = {path.parent.name for path in (ROOT / layer).glob("*/__init__.py")}
        assert found == {*folders}


def test_what_all_layers_share_imports_no_layer():
    found = {
        (f"{shared}.py", name)
        for shared in SHARED
        for name in imports_of(ROOT / f"{shared}.py")
        if name.split(".")[1] not in {*SHARED, "pseudo"}
    }
    assert found == {ONE_WAY_UP}


def test_no_way_of_imports_leads_back_to_where_it_began():
    arrows = {name: {*imports_of(path)} & {*FILES} - {name} for name, path in FILES.items()}
    arrows["pvsim.prompt"] -= {ONE_WAY_UP[1]}
    left = None
    while left != arrows:  # without whatever leads nowhere, or is led to from nowhere
        left, reached = arrows, set().union(*arrows.values())
        arrows = {name: to & {*left} for name, to in left.items() if to & {*left} and name in reached}
    assert {name: sorted(to) for name, to in left.items()} == {}


def loaded_by(code):
    """Top packages and pvsim modules a fresh Python has after running some code."""
    report = "import sys; print(' '.join(sorted(sys.modules)), file=sys.stderr)"
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\n{report}"],
        capture_output=True,
        text=True,
        timeout=PATIENCE_s,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return set(done.stderr.splitlines()[-1].split())


@pytest.mark.parametrize("layer", LAYERS[:-1])
def test_below_the_page_nothing_of_the_page_is_loaded(layer):
    modules = [
        ".".join(path.relative_to(ROOT.parent).with_suffix("").parts)
        for path in python_files(layer)
        if path.name != "__init__.py"
    ]
    loaded = loaded_by("\n".join(f"import {module}" for module in modules))
    assert {name.split(".")[0] for name in loaded} & PAGE_PACKAGES == set()
    below = {name.split(".")[1] for name in loaded if name.startswith("pvsim.")}
    assert below <= {*MAY_IMPORT[layer], *SHARED} - {"notebook"}


CIRCUIT = """\
format = 1
[cell_types.a]
photocurrent_A = 9.5
saturation_current_A = 1e-9
ideality = 1.0
series_resistance_ohm = 0.005
shunt_resistance_ohm = 10.0
[circuit]
series = [{ cell = "a", count = 60 }]
"""


def test_solving_a_bare_circuit_loads_numpy_and_the_circuit_layer_only(tmp_path):
    path = tmp_path / "circuit.toml"
    path.write_text(CIRCUIT, encoding="utf-8")
    loaded = loaded_by(f"from pvsim.cli import main; assert main(['solve', {str(path)!r}]) == 0")
    assert {name.split(".")[0] for name in loaded} & SLOW_PACKAGES == set()
    assert not any(name.startswith(("pvsim.array", "pvsim.course", "pvsim.app")) for name in loaded)


def test_solving_an_array_loads_neither_scipy_nor_the_page():
    loaded = loaded_by("from pvsim.cli import main; assert main(['solve', 'workshop']) == 0")
    assert {name.split(".")[0] for name in loaded} & SLOW_PACKAGES == set()


STUDY = """\
format = 1
title = "Two lights"
scenario = "single-cell"
[[axes]]
vary = "irradiance_W_m2"
values = [1000, 500]
[columns]
most_W = "now[array].p_mp_W"
"""


def test_a_study_loads_neither_the_page_nor_dask(tmp_path):
    path = tmp_path / "study.toml"
    path.write_text(STUDY, encoding="utf-8")
    loaded = loaded_by(f"from pvsim.cli import main; assert main(['study', {str(path)!r}]) == 0")
    packages = {name.split(".")[0] for name in loaded}
    assert packages & {*PAGE_PACKAGES, "scipy", "dask", "distributed"} == set()
    assert not any(name.startswith("pvsim.app") for name in loaded)


@pytest.mark.parametrize("layer", PROMISING)
def test_every_promised_name_is_there_and_sorted(layer):
    module = importlib.import_module(f"pvsim.{layer}")
    assert len(set(module.__all__)) == len(module.__all__)
    for name in module.__all__:
        assert getattr(module, name) is not None
    with pytest.raises(AttributeError):
        module.no_such_name


def test_no_promised_name_means_two_things():
    promised = {}
    for layer in PROMISING:
        module = importlib.import_module(f"pvsim.{layer}")
        for name in module.__all__:
            promised.setdefault(name, []).append(getattr(module, name))
    assert [name for name, meant in promised.items() if any(one is not meant[0] for one in meant)] == []
