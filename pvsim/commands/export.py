"""`pvsim export`: a curve, a figure, a scenario, a link or a netlist."""

from __future__ import annotations

import sys
from argparse import Namespace
from typing import TYPE_CHECKING, NoReturn

from pvsim.commands.source import open_source
from pvsim.errors import FileError
from pvsim.files.circuit_file import CircuitFile

if TYPE_CHECKING:
    from pvsim.array.scenario import Scenario
    from pvsim.circuit.network import Element
    from pvsim.circuit.solution import Characteristic


def run(options: Namespace) -> int:
    """Write what is asked for to a file or the standard output."""
    source = open_source(options.source)
    data = _made(options, source)
    if options.output is None or options.output == "-":
        sys.stdout.buffer.write(data)
        return 0
    try:
        with open(options.output, "wb") as file:
            file.write(data)
    except OSError as error:
        raise FileError(
            f"{options.output} cannot be written ({error.strerror})",
            expected="a file name in a folder that exists",
            mend="Choose another place with --output",
        ) from None
    return 0


def _made(options: Namespace, source: Scenario | CircuitFile) -> bytes:
    if options.form in ("toml", "link"):
        if isinstance(source, CircuitFile):
            _refuse_circuit(options.form)
        return _scenario_text(options.form, source).encode()
    if options.form == "netlist":
        from pvsim.circuit.netlist import write_netlist

        return write_netlist(_element(options, source)).encode()
    characteristic, label = _characteristic(options, source)
    if options.form == "csv":
        from pvsim.files.curve_file import write_curve

        return write_curve(characteristic, title=source.title, label=label).encode()
    return _figure(options, characteristic, source.title, label)


def _scenario_text(form: str, scenario: Scenario) -> str:
    if form == "toml":
        from pvsim.files.scenario_file import write_scenario

        return write_scenario(scenario)
    from pvsim.files.link import pack

    return pack(scenario) + "\n"


def _figure(options: Namespace, characteristic: Characteristic, title: str, label: str) -> bytes:
    from pvsim.files.curve import curve_of
    from pvsim.files.figure import draw_curves

    theme = "dark" if options.dark else "light"
    drawing = draw_curves([curve_of(characteristic, label)], title=title, theme=theme)
    if options.form == "svg":
        from pvsim.files.svg import write_svg

        return write_svg(drawing).encode()
    from pvsim.files.png import write_png

    return write_png(drawing)


def _characteristic(options: Namespace, source: Scenario | CircuitFile) -> tuple[Characteristic, str]:
    if isinstance(source, CircuitFile):
        from pvsim.circuit import solve

        return solve(_element(options, source)), "the circuit"
    from pvsim.array import WHOLE_ARRAY, check_place, describe_place, level_curve, parse_place

    place = parse_place(options.place) if options.place else WHOLE_ARRAY
    check_place(source, place)
    return level_curve(source, place), describe_place(place)


def _element(options: Namespace, source: Scenario | CircuitFile) -> Element:
    if isinstance(source, CircuitFile):
        if options.place:
            raise FileError(
                "a bare circuit has no places",
                expected="--place with a scenario only",
                mend="Leave --place out",
            )
        return source.circuit
    from pvsim.array import WHOLE_ARRAY, check_place, parse_place, part_circuit
    from pvsim.circuit.mesh import Mesh

    place = parse_place(options.place) if options.place else WHOLE_ARRAY
    check_place(source, place)
    found = part_circuit(source, place)
    if isinstance(found, Mesh):
        raise FileError(
            "faults join the strings of this array, which a netlist of series and parallel parts cannot say",
            expected="an array without earth faults and wires between strings",
            mend="Choose a string or module with --place",
        )
    return found


def _refuse_circuit(form: str) -> NoReturn:
    raise FileError(
        f"a bare circuit cannot be written as {form}",
        expected="csv, svg, png or netlist",
        mend="Choose one of them, or give a scenario",
    )
