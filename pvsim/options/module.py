"""Options of what begins with a real module: its data sheet, its measured curve."""

from __future__ import annotations

from pvsim.options.parser import SOURCE_HELP, Commands

__all__ = ["add_sheet", "add_traced"]


def add_sheet(commands: Commands) -> None:
    sheet = commands.add_parser(
        "sheet", help="from a module's data sheet to its cells: the reasoning, the parameters, the residuals"
    )
    sheet.add_argument(
        "source",
        metavar="SHEET",
        help="a data sheet (.toml), the name of one that comes with pvsim, or - for the standard input",
    )
    sheet.add_argument(
        "-o", "--output", metavar="FILE", help="write the module on the bench, a scenario; - prints it"
    )
    sheet.add_argument(
        "--type-only", action="store_true", help="with --output: the module type alone, for a scenario's file"
    )
    sheet.add_argument("--json", action="store_true", help="print JSON with every number")


def add_traced(commands: Commands) -> None:
    traced = commands.add_parser(
        "traced", help="a measured I-V curve: its columns, key figures, shape, and the faults it may have"
    )
    traced.add_argument(
        "curve",
        metavar="CURVE",
        help="a file of a tracer (CSV and its like), the name of the invented one that comes with pvsim, "
        "or - for the standard input",
    )
    traced.add_argument("--model", metavar="SCENARIO", help="what it is held against; " + SOURCE_HELP)
    traced.add_argument(
        "--place", metavar="PLACE", help="the part that was measured: array, 2, 2/5 (the whole array)"
    )
    traced.add_argument(
        "--irradiance", type=float, metavar="W/M2", help="at which it was taken, where the file does not say"
    )
    traced.add_argument(
        "--temperature", type=float, metavar="CELSIUS", help="of the cells, where the file does not say"
    )
    traced.add_argument(
        "--procedure",
        choices=("1", "2"),
        help="of IEC 60891: translate it to 1000 W/m2 and 25 degrees C "
        "(the model goes to the light and temperature of the measurement)",
    )
    traced.add_argument(
        "--column",
        dest="columns",
        metavar="QUANTITY=NUMBER:UNIT",
        action="append",
        default=[],
        help="a column by hand, such as current=3:mA; also voltage, irradiance, temperature",
    )
    traced.add_argument("--leave-out", action="store_true", help="leave out rows without usable numbers")
    traced.add_argument("--json", action="store_true", help="print JSON with every number")
