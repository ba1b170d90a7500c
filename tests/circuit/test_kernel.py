"""The compiled kernel: the same numbers as array by array, used only where it is of this very source."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from math import inf
from pathlib import Path
from typing import TypeVar

import numpy as np
import pytest
from hypothesis import given, settings

from pvsim.benchmark.random_array import random_array
from pvsim.benchmark.specimen import array_all_different, array_scattered, array_with_one_shaded
from pvsim.circuit import (
    Cell,
    Characteristic,
    Element,
    OperatingPoint,
    Parallel,
    Series,
    Turned,
    compile_kernel,
    kernel,
    operate,
    solve,
)
from pvsim.circuit.chains import Chain, ChainRows
from pvsim.circuit.floats import Floats
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import Junction, leaf_of
from pvsim.circuit.solver import _solver
from pvsim.circuit.table import cubics_of
from pvsim.circuit.tree import TreeSolver
from tests.circuit.conftest import WAYS, go
from tests.circuit.samples import BYPASS, CELL_TYPES, PLAIN, circuits
from tests.patience import PATIENCE_s

pytestmark = pytest.mark.skipif(not kernel.is_compiled(), reason="no C compiler made the kernel")

T = TypeVar("T")

SOLVED = 1e-8  # of the largest current or voltage: where both ways may end within their stated tolerance


def both(work: Callable[[], T]) -> tuple[T, T]:
    """What a function gives compiled, and array by array."""
    given = []
    for way in WAYS:
        with pytest.MonkeyPatch.context() as patch:
            go(way, patch)
            given.append(work())
    return given[0], given[1]


def some_laws(kin: bool = True) -> list[Junction]:
    """Of every kind of cell and of a diode; with kin, of cells that differ in shunt and breakdown alone."""
    cells = [Cell(type=type, irradiance_W_m2=400.0) for type in CELL_TYPES]
    if kin:
        rng = np.random.default_rng(1)
        cells += [
            Cell(
                type=type,
                shunt_factor=float(np.exp(0.4 * rng.normal())),
                breakdown_factor=float(rng.normal(1.0, 0.05)),
            )
            for type in CELL_TYPES
            for _ in range(9)
        ]
    return [leaf_of(one).junction for one in (*cells, BYPASS)]


@pytest.mark.parametrize("kin", [True, False])
@pytest.mark.parametrize("order", ["C", "F"])
def test_laws_are_those_of_numpy(kin: bool, order: str) -> None:
    junctions = some_laws(kin)
    x = np.random.default_rng(5).uniform(-30.0, 30.0, (len(junctions), 41))
    x[:, :4] = [0.0, 1e-12, -1e-12, 5e3]

    def lying(array: Floats) -> Floats:
        return np.asfortranarray(array) if order == "F" else np.ascontiguousarray(array)

    v, v_plain = both(lambda: Laws(junctions).invert(lying(x)))
    at = np.maximum(np.minimum(v_plain, Laws(junctions).most_v), Laws(junctions).least_v)
    (f, df), (f_plain, df_plain) = both(lambda: Laws(junctions).evaluate(lying(at)))
    np.testing.assert_allclose(v, v_plain, rtol=1e-6, atol=3e-6)  # a start, in single precision forward
    # What is taken off is lost beside the largest part of a law.
    large = np.abs(f_plain) + np.abs(df_plain)
    assert np.all(np.abs(f - f_plain) <= 1e-13 * np.maximum(large, 1.0))
    np.testing.assert_allclose(df, df_plain, rtol=1e-13)


def test_exponential_and_logarithm_are_right_to_the_last_places() -> None:
    """Against numpy's, over all that a law can ask."""
    G = 1e-6
    v = np.linspace(-17.0, 17.0, 20_001)[None]
    # exp(40 v) - 1 + G v
    exponential = Laws([Junction(1.0, 1.0 / 40.0, 0.0, 1.0, G, 0.0, -1.0, 1.0)]).kernel()
    assert exponential
    f, df = exponential.evaluate(v)
    np.testing.assert_allclose(f - G * v, np.expm1(40.0 * v), rtol=1e-15, atol=1e-15)
    np.testing.assert_allclose(df, 40.0 * np.exp(40.0 * v) + G, rtol=1e-15)
    w = v[v > -9.0][None]  # below, the law goes straight
    # v (1 + v / 10)^-1.7 + G v
    power = Laws([Junction(1e-30, 1.0, 0.0, 1.0, G, 1.0, -10.0, 1.7)]).kernel()
    assert power
    f, _df = power.evaluate(w)
    np.testing.assert_allclose(f, w * ((1.0 + w / 10.0) ** -1.7 + G), rtol=4e-15, atol=1e-15)


def test_what_is_no_number_or_beyond_all_numbers_does_no_harm() -> None:
    junctions = some_laws()
    x = np.array([[np.nan, inf, -inf, 1e300, -1e300, 0.0]] * len(junctions))
    for one in (x, np.asfortranarray(x)):
        assert np.isfinite(Laws(junctions).invert(one)[:, 1:]).all()
        assert Laws(junctions).evaluate(one)[0].shape == x.shape


def test_chains_are_those_of_numpy() -> None:
    rng = np.random.default_rng(3)
    unlike = [Cell(type=PLAIN, shunt_factor=float(np.exp(0.5 * rng.normal()))) for _ in range(9)]
    light = [Cell(type=type, irradiance_W_m2=300.0) for type in CELL_TYPES]
    elements = (unlike, [*light, BYPASS], light)
    chains = [Chain([leaf_of(one) for one in each], [2] * len(each)) for each in elements]
    I = np.sort(rng.uniform(-20.0, 20.0, (3, 50)), axis=1)
    (V, slope), (V_plain, slope_plain) = both(lambda: ChainRows(chains).voltage_and_slope(I))
    np.testing.assert_allclose(V, V_plain, atol=1e-4)  # starts, those akin after one of Newton's steps
    np.testing.assert_allclose(slope, slope_plain, rtol=2e-3)


def test_cubics_are_those_of_numpy_and_read_alike() -> None:
    rng = np.random.default_rng(4)
    I, V = np.sort(rng.uniform(-5.0, 15.0, 90)), -np.sort(-rng.uniform(-20.0, 40.0, 90))
    d = -rng.uniform(1e-3, 50.0, 90)
    by_current, by_voltage = kernel.cubics_through(I, V, d), kernel.cubics_through(V, I, d, backwards=True)
    np.testing.assert_allclose(by_current, cubics_of(I, V, d), rtol=1e-11, atol=1e-11)
    np.testing.assert_allclose(by_voltage, cubics_of(V[::-1], I[::-1], 1.0 / d[::-1]), rtol=1e-11, atol=1e-11)
    asked = np.concatenate((rng.uniform(-9.0, 19.0, 300), I, [-1e9, 1e9, I[0], I[-1]]))
    column = by_current[0, 1:].searchsorted(asked)
    x0, y0, c1, c2, c3 = by_current[:, column]
    u = asked - x0
    np.testing.assert_allclose(kernel.read(by_current, asked), y0 + u * (c1 + u * (c2 + u * c3)), rtol=1e-12)


def close(one: Floats, other: Floats) -> None:
    np.testing.assert_allclose(one, other, rtol=0.0, atol=SOLVED * max(float(np.abs(other).max()), 1.0))


def check_same(circuit: Element) -> None:
    # Where a curve is shown hangs on tables, which are only near: it is asked for between the same voltages.
    usual = solve(circuit, points=8).voltage_V
    window = (float(usual[0]), float(usual[-1]))

    def work() -> tuple[Characteristic, OperatingPoint]:
        at = 0.3 * window[0] + 0.7 * window[1]
        return solve(circuit, points=31, window=window), operate(circuit, voltage_V=at)

    (shown, point), (plain, plain_point) = both(work)
    for one, other in ((shown.voc_V, plain.voc_V), (shown.isc_A, plain.isc_A)):
        assert one == pytest.approx(other, abs=SOLVED * max(abs(other), 1.0))
    assert shown.mpp.power_W == pytest.approx(plain.mpp.power_W, rel=1e-8, abs=1e-8)
    assert shown.residual_A <= 1e-9
    close(shown.voltage_V[[0, -1]], plain.voltage_V[[0, -1]])
    close(point.leaf_current_A, plain_point.leaf_current_A)
    close(point.leaf_voltage_V, plain_point.leaf_voltage_V)


@pytest.mark.parametrize("seed", range(30))
def test_random_arrays_are_solved_alike(seed: int) -> None:
    check_same(random_array(np.random.default_rng(1000 + seed)))


@settings(max_examples=60)
@given(circuit=circuits())
def test_any_circuit_is_solved_alike(circuit: Element) -> None:
    check_same(circuit)


@pytest.mark.parametrize("make", [array_scattered, array_all_different, array_with_one_shaded])
def test_every_leaf_of_a_large_array_fares_alike(make: Callable[[int], Element]) -> None:
    array = make(300)
    compiled, plain = both(lambda: operate(array, voltage_V=200.0))
    close(compiled.leaf_voltage_V, plain.leaf_voltage_V)
    close(compiled.leaf_current_A, plain.leaf_current_A)


def test_turned_parts_and_leaves_among_parts_are_solved_alike() -> None:
    dim = Cell(type=PLAIN, irradiance_W_m2=300.0)
    among = Parallel((Series((dim, dim, Turned(dim))), BYPASS))
    part = Series((Cell(type=PLAIN), among, Turned(BYPASS), dim))
    check_same(part)
    check_same(Parallel((part, part, Cell(type=PLAIN))))


def test_a_point_whose_step_must_be_bent_is_solved_by_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    go("compiled", monkeypatch)
    solver, _key = _solver(Series((Cell(type=PLAIN), Cell(type=PLAIN, irradiance_W_m2=300.0))))
    V = np.array([0.9, -3.0, 0.4])
    one = np.ones(3)
    left: list[int] = []
    newton = TreeSolver._newton
    monkeypatch.setattr(TreeSolver, "_newton", lambda *given, **how: left.append(1) or newton(*given, **how))
    near = solver.solve(one, 0.0 * one, V, solver.start(V, solver.table().current(V)))
    assert left == []
    found = solver.solve(one, 0.0 * one, V, np.asfortranarray(near.junction_V - 0.1))
    assert left == [1]
    close(found.current_A, near.current_A)
    close(found.junction_V, near.junction_V)


def test_a_library_of_another_source_is_not_loaded(tmp_path: Path) -> None:
    """An installation whose source went on since it was built does without it, and so does one asked to."""
    here = Path(kernel.__file__).parents[2]
    shutil.copytree(here / "pvsim", tmp_path / "pvsim", ignore=shutil.ignore_patterns("__pycache__", "app"))
    says = "from pvsim.circuit.kernel import is_compiled; print(is_compiled())"

    def asked(**more: str) -> str:
        how = {"capture_output": True, "text": True, "check": True, "timeout": PATIENCE_s}
        return subprocess.run([sys.executable, "-c", says], cwd=tmp_path, env=more, **how).stdout

    assert asked() == "True\n"
    assert asked(PVSIM_KERNEL="none") == "False\n"
    with (tmp_path / "pvsim" / "circuit" / "kernel.c").open("a", encoding="utf-8") as source:
        source.write("/* changed */\n")
    assert asked() == "False\n"


def test_without_a_compiler_nothing_is_made_and_nothing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "kernel.c"
    source.write_text(compile_kernel.SOURCE.read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(compile_kernel, "SOURCE", source)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("sysconfig.get_config_var", lambda _name: None)
    assert not compile_kernel.compile_kernel()
    assert list(tmp_path.iterdir()) == [source]


def test_a_source_that_does_not_compile_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "kernel.c"
    source.write_text("no C\n", encoding="utf-8")
    monkeypatch.setattr(compile_kernel, "SOURCE", source)
    before = compile_kernel.library_path()
    before.write_bytes(b"of before")
    assert not compile_kernel.compile_kernel()
    assert before.read_bytes() == b"of before"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["kernel.c", before.name]
