"""`pvsim export`: a curve, a figure, a scenario, a link or a netlist."""

from __future__ import annotations

import os
from argparse import Namespace
from typing import TYPE_CHECKING, NoReturn

from pvsim.commands.output import put_out
from pvsim.commands.source import open_source
from pvsim.errors import FileError
from pvsim.files.circuit_file import CircuitFile
from pvsim.files.provenance import provenance

if TYPE_CHECKING:
    from pvsim.array.scenario import Scenario
    from pvsim.circuit.mesh import Mesh
    from pvsim.circuit.network import Element
    from pvsim.circuit.solution import Characteristic
    from pvsim.files.curve import Curve

FIGURES = ("svg", "png")


def run(options: Namespace) -> int:
    """Write what is asked for to a file or the standard output."""
    measured = _measured(options)
    source = open_source(options.source)
    data = _made(options, source, measured)
    put_out(data, options.output)
    return 0


def _measured(options: Namespace) -> Curve | None:
    """The measured curve that is to be drawn beside the computed one, called by its file's name."""
    name = options.beside
    if name is None:
        return None
    if options.form not in FIGURES:
        raise FileError(
            f"a measured curve cannot be laid beside {options.form}",
            expected="--beside with svg or png",
            mend="Choose one of them, or leave --beside out",
        )
    if name == "-" == options.source:
        raise FileError(
            "the standard input cannot be both what is solved and the measured curve",
            expected="'-' for one of them at most",
            mend="Save one of the two as a file",
        )
    from pvsim.commands.measured import read_measured
    from pvsim.files.curve import Curve

    traced = read_measured(name)
    V, I = traced.voltage_V, traced.current_A
    label = "the standard input" if name == "-" else os.path.basename(name)
    return Curve(label=label, voltage_V=V, current_A=I, power_W=V * I, measured=True)


def _made(options: Namespace, source: Scenario | CircuitFile, measured: Curve | None) -> bytes:
    if options.form in ("toml", "link"):
        if isinstance(source, CircuitFile):
            _refuse_circuit(options.form)
        return _scenario_text(options.form, source).encode()
    if options.form == "netlist":
        return _netlist(options, source).encode()
    _check_drawing(options, source)
    _, characteristic, label = _solved(options, source)
    if options.form == "csv":
        from pvsim.files.curve_file import write_curve

        return write_curve(characteristic, title=source.title, label=label).encode()
    from pvsim.files.curve import curve_of

    curves = [curve_of(characteristic, label), *([measured] if measured else [])]
    return _figure(options, curves, source)


def _scenario_text(form: str, scenario: Scenario) -> str:
    if form == "toml":
        from pvsim.files.scenario_file import write_scenario

        return write_scenario(scenario)
    from pvsim.files.link import pack

    return pack(scenario) + "\n"


def _check_drawing(options: Namespace, source: Scenario | CircuitFile) -> None:
    """Refuse a drawing of what has none, or in a form that shows none."""
    if options.drawing and (options.form not in FIGURES or isinstance(source, CircuitFile)):
        what = "a bare circuit" if isinstance(source, CircuitFile) else options.form
        raise FileError(
            f"{what} has no drawing of an array",
            expected="--drawing with svg or png of a scenario",
            mend="Leave --drawing out",
        )


def _figure(options: Namespace, curves: list[Curve], source: Scenario | CircuitFile) -> bytes:
    theme = "dark" if options.dark else "light"
    if options.drawing and not isinstance(source, CircuitFile):
        from pvsim.array import solve_or_release
        from pvsim.files.figure.bench import draw_bench

        drawing = draw_bench(solve_or_release(source)[0], curves, theme=theme)
    else:
        from pvsim.files.figure.characteristic import draw_curves

        drawing = draw_curves(curves, title=source.title, theme=theme)
    if options.form == "svg":
        from pvsim.files.figure.svg import write_svg

        return write_svg(drawing).encode()
    from pvsim.files.figure.png import write_png

    return write_png(drawing)


def _netlist(options: Namespace, source: Scenario | CircuitFile) -> str:
    """Write a sweep over the voltages of the characteristic, with its origin as comments."""
    import numpy as np

    from pvsim.circuit.mesh import Mesh
    from pvsim.circuit.netlist import write_mesh_netlist, write_netlist

    circuit, found, _ = _solved(options, source)
    sweep = np.linspace(found.voltage_V[0], found.voltage_V[-1], found.voltage_V.size)
    text = write_mesh_netlist(circuit, sweep) if isinstance(circuit, Mesh) else write_netlist(circuit, sweep)
    title, rest = text.split("\n", 1)  # the first line of a netlist is its title
    return "\n".join([title, *(f"* {line}" for line in provenance(source.title)), rest])


def _solved(options: Namespace, source: Scenario | CircuitFile) -> tuple[Element | Mesh, Characteristic, str]:
    """The circuit that is meant, its characteristic, and what people call it."""
    if isinstance(source, CircuitFile):
        if options.place:
            raise FileError(
                "a bare circuit has no places",
                expected="--place with a scenario only",
                mend="Leave --place out",
            )
        from pvsim.circuit import solve

        return source.circuit, solve(source.circuit), "the circuit"
    from pvsim.array import (
        WHOLE_ARRAY,
        check_place,
        describe_place,
        parse_place,
        part_circuit,
        solve_or_release,
    )
    from pvsim.array.operating_point import characteristic

    place = parse_place(options.place) if options.place else WHOLE_ARRAY
    check_place(source, place)
    built = solve_or_release(source)[0].built  # its cells as warm as they are at work
    circuit = part_circuit(source, place, built)
    return circuit, characteristic(circuit), describe_place(place)


def _refuse_circuit(form: str) -> NoReturn:
    raise FileError(
        f"a bare circuit cannot be written as {form}",
        expected="csv, svg, png or netlist",
        mend="Choose one of them, or give a scenario",
    )
