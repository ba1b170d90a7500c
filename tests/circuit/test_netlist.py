"""What pvsim writes for ngspice, and that the two programs find the same currents."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.benchmark import ngspice
from pvsim.circuit import Cell, Element, Parallel, Resistor, Series, Turned, operate, solve
from pvsim.circuit.mesh import Branch, Mesh, expand
from pvsim.circuit.netlist import write_mesh_netlist, write_netlist
from pvsim.circuit.nodal import operate_mesh
from pvsim.errors import CircuitError
from tests.circuit.samples import BYPASS, LOW_BREAKDOWN, NO_BREAKDOWN, PLAIN, TWO_DIODES

LIT = Cell(type=PLAIN)
SHADED = Cell(type=PLAIN, irradiance_W_m2=200.0)
BLOCKING = replace(BYPASS, temperature_K=330.0)


def substring(*cells: Element, diode: Element = BYPASS) -> Element:
    return Parallel((Series(cells), diode))


def module(cells: int = 20, *, odd: Cell | None = None, diode: Element = BYPASS) -> Element:
    """Three substrings; one cell of the first may differ, and its diode."""
    first = substring(*(LIT,) * (cells - 1), odd or LIT, diode=diode)
    return Series((first, *(substring(*(LIT,) * cells),) * 2))


def half_cut() -> Element:
    """Two halves that share one diode a substring; one half-cell is shaded."""
    half = replace(PLAIN, photocurrent_A=PLAIN.photocurrent_A / 2.0, shunt_resistance_ohm=40.0)
    chain = Series((Cell(type=half),) * 20)
    shaded = Series((Cell(type=half, irradiance_W_m2=150.0), *(Cell(type=half),) * 19))
    return Series((Parallel((shaded, chain, BYPASS)), *(Parallel((chain, chain, BYPASS)),) * 2))


def array() -> Element:
    """Two strings of three modules of 18 cells, a fault in each; of 36 ngspice takes ten times as long."""
    small, cable = module(6), Resistor(resistance_ohm=0.3)
    one = Series((module(6, odd=SHADED), small, small, BLOCKING, cable))
    two = Series((small, module(6, odd=replace(LIT, condition="open")), small, BLOCKING, cable))
    return Parallel((one, two))


def back_fed() -> Element:
    """A string of two modules fed by one of three, with no blocking diode."""
    small = module(12)
    return Parallel((Series((small, small)), Series((small, small, small))))


def cross_tied() -> Element:
    """Rows in parallel, rows in series."""
    return Series(
        tuple(Parallel((LIT, Cell(type=PLAIN, irradiance_W_m2=G), LIT)) for G in (1000.0, 300.0, 0.0, 800.0))
    )


def of_cell(**changes: object) -> Element:
    return module(odd=replace(SHADED, **changes))  # type: ignore[arg-type]


def of_diode(**changes: object) -> Element:
    return module(odd=SHADED, diode=replace(BYPASS, **changes))  # type: ignore[arg-type]


CIRCUITS = [
    pytest.param(LIT, (-14.0, 0.75), id="one-cell-into-breakdown"),
    pytest.param(Cell(type=LOW_BREAKDOWN, irradiance_W_m2=300.0), (-4.4, 0.8), id="cell-with-low-breakdown"),
    pytest.param(Cell(type=NO_BREAKDOWN), (-20.0, 0.65), id="cell-without-breakdown-or-series-resistance"),
    pytest.param(Cell(type=TWO_DIODES, temperature_K=330.0), (-15.0, 0.6), id="cell-with-two-diodes-warm"),
    pytest.param(BYPASS, (-0.5, 5.0), id="diode"),
    pytest.param(module(), None, id="module-of-60-even-light"),
    pytest.param(of_cell(), None, id="cell-shaded"),
    pytest.param(of_cell(irradiance_W_m2=0.0), None, id="cell-dark"),
    pytest.param(of_cell(condition="open"), None, id="cell-open"),
    pytest.param(of_cell(condition="short"), None, id="cell-short"),
    pytest.param(of_cell(active_fraction=0.4), None, id="cell-cracked"),
    pytest.param(of_cell(parallel_resistance_ohm=0.05), None, id="cell-shunted"),
    pytest.param(of_cell(extra_series_resistance_ohm=0.5), None, id="cell-with-series-resistance"),
    pytest.param(of_cell(temperature_K=360.0), None, id="cell-hot"),
    pytest.param(of_diode(condition="open"), None, id="diode-open"),
    pytest.param(of_diode(condition="short"), None, id="diode-short"),
    pytest.param(of_diode(condition="reversed"), None, id="diode-reversed"),
    pytest.param(of_diode(condition="resistive", contact_resistance_ohm=0.5), None, id="diode-resistive"),
    pytest.param(of_diode(temperature_K=380.0), None, id="diode-hot"),
    pytest.param(half_cut(), None, id="half-cut-with-shared-diodes"),
    pytest.param(Series((module(12), Turned(module(12)), module(12))), None, id="module-reversed"),
    pytest.param(array(), None, id="array-2x3-modules-of-18"),
    pytest.param(back_fed(), None, id="back-fed-string"),
    pytest.param(back_fed(), (40.0, 64.0), id="back-fed-string-beyond-open-circuit"),
    pytest.param(cross_tied(), None, id="cross-tied-block"),
]


needs_ngspice = pytest.mark.skipif(
    not ngspice.is_here(),
    reason="NOT CHECKED against ngspice: the program is missing (Debian package ngspice)",
)


@needs_ngspice
@pytest.mark.parametrize(("circuit", "window"), CIRCUITS)
def test_ngspice_finds_the_same_curve(circuit: Element, window: tuple[float, float] | None) -> None:
    if window is None:
        shown = solve(circuit, points=8)
        window = float(shown.voltage_V[0]), float(shown.voltage_V[-1])
    V, theirs, _ = ngspice.sweep(write_netlist(circuit, np.linspace(*window, 50)))
    assert len(V) == 50
    ours = np.array([operate(circuit, voltage_V=float(v)).current_A for v in V])
    print(f"largest difference {np.max(np.abs(ours - theirs)):.1e} A")
    assert np.max(np.abs(ours - theirs)) <= 1e-5  # the stated bar


@needs_ngspice
def test_ngspice_finds_the_same_curve_where_a_wire_joins_two_strings() -> None:
    mesh = bridged()
    V, theirs, _ = ngspice.sweep(write_mesh_netlist(mesh, np.linspace(-2.0, 42.0, 23)))
    assert len(V) == 23
    for find in (operate, operate_mesh):
        ours = np.array([find(mesh, voltage_V=float(v)).current_A for v in V])
        print(f"largest difference {np.max(np.abs(ours - theirs)):.1e} A")
        assert np.max(np.abs(ours - theirs)) <= 1e-5  # the stated bar


def bridged() -> Mesh:
    """Two strings of two modules, a wire from the middle of one to a module's end of the other."""
    one, odd = module(10), module(10, odd=SHADED)
    return Mesh(
        (
            Branch(one, "minus", "a"),
            Branch(odd, "a", "plus"),
            Branch(Series((one, one)), "minus", "b"),
            Branch(Resistor(resistance_ohm=0.05), "b", "plus"),
            Branch(Resistor(resistance_ohm=0.01), "a", "b"),
        ),
        plus_node="plus",
        minus_node="minus",
    )


def test_each_leaf_becomes_one_source_or_resistor() -> None:
    circuit = Series((LIT, BYPASS, Resistor(resistance_ohm=2.0), replace(LIT, condition="open")))
    text = write_netlist(circuit, np.linspace(0.0, 1.0, 11))
    parts = [line for line in text.splitlines() if line.startswith(("B", "R"))]
    names = [part.split()[0] for part in parts]
    assert names == ["B1", "R1", "B2", "R2", "R3", "R4"]  # R1 and R2: series resistances
    assert parts[4].split()[3] == "2"
    assert parts[5].split()[3] == "1000000000000"


def test_a_netlist_ends_in_the_sweep_that_was_asked_for() -> None:
    text = write_netlist(LIT, np.linspace(-1.0, 0.5, 4))
    assert text.splitlines()[-2:] == [".dc Vterminal -1 0.5005 0.5", ".end"]


def test_a_netlist_is_plain_text_without_line_breaks_inside_a_part() -> None:
    text = write_netlist(module(), np.linspace(0.0, 40.0, 5))
    assert text.isascii()
    assert len([line for line in text.splitlines() if line.startswith("B")]) == 63


def test_a_mesh_and_its_expansion_have_the_same_netlist() -> None:
    V = np.linspace(0.0, 40.0, 5)
    assert write_mesh_netlist(bridged(), V) == write_mesh_netlist(expand(bridged()), V)


@pytest.mark.parametrize(
    "voltages",
    [
        pytest.param([0.0], id="one"),
        pytest.param([0.0, 1.0, 3.0], id="uneven"),
        pytest.param([1.0, 0.0], id="falling"),
        pytest.param([0.0, float("nan")], id="not-finite"),
        pytest.param([[0.0, 1.0]], id="two-dimensional"),
    ],
)
def test_anything_but_an_even_sweep_is_refused_with_the_way_out(voltages: list[float]) -> None:
    with pytest.raises(CircuitError, match=r"even sweep.*equal steps.*numpy\.linspace"):
        write_netlist(LIT, np.array(voltages))
