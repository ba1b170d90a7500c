"""Options of what solves and writes an array: solve, export, wiring, day, limits, study."""

from __future__ import annotations

from pvsim.options.parser import SOURCE_HELP, Commands

__all__ = ["add_day", "add_export", "add_limits", "add_solve", "add_study", "add_wiring"]


def add_solve(commands: Commands) -> None:
    solve = commands.add_parser("solve", help="solve a scenario or a bare circuit and print the result")
    solve.add_argument("source", metavar="SOURCE", help=SOURCE_HELP)
    solve.add_argument(
        "--at",
        metavar="POINT",
        help="operating point: mpp, 30V, 5A or 4ohm (default: the scenario's, or mpp)",
    )
    solve.add_argument(
        "--place",
        metavar="PLACE",
        help="the part whose characteristic is wanted: array, 2, 2/5, 2/5/s3, 2/5/14",
    )
    solve.add_argument("--json", action="store_true", help="print JSON with every cell and diode")
    solve.add_argument("--curve", action="store_true", help="with --json: add the points of the curve")


def add_export(commands: Commands) -> None:
    export = commands.add_parser("export", help="write a curve, a figure, a scenario, a link or a netlist")
    forms = ("csv", "svg", "png", "toml", "link", "netlist")
    export.add_argument("form", choices=forms, metavar="FORM", help=", ".join(forms))
    export.add_argument("source", metavar="SOURCE", help=SOURCE_HELP)
    export.add_argument(
        "-o", "--output", metavar="FILE", help="where to write; the standard output if left out"
    )
    export.add_argument("--place", metavar="PLACE", help="the part whose curve or netlist is wanted")
    export.add_argument(
        "--beside",
        metavar="CURVE",
        help="a measured curve laid over the computed one in svg and png: a file as `pvsim traced` reads it, "
        "invented-module, or - for the standard input",
    )
    export.add_argument(
        "--drawing", action="store_true", help="svg, png: the array as it lies on the roof beside its curves"
    )
    export.add_argument("--dark", action="store_true", help="figures on a dark ground")


def add_wiring(commands: Commands) -> None:
    wiring = commands.add_parser(
        "wiring", help="ways to wire a roof, in metres of cable, joints, loops, watts; the shortest found"
    )
    wiring.add_argument("source", metavar="SCENARIO", help=SOURCE_HELP)
    wiring.add_argument("--strings", type=int, metavar="NUMBER", help="how many strings (as many as it has)")
    wiring.add_argument(
        "--search", type=float, metavar="SECONDS", help="look for the shortest wiring for so long"
    )
    wiring.add_argument("--take", metavar="WIRING", help="write the scenario with one of the wirings shown")
    wiring.add_argument("--output", "-o", metavar="FILE", help="where to write it (the standard output)")


def add_day(commands: Commands) -> None:
    day = commands.add_parser("day", help="a clear day on the roof: power against time, and its energy")
    day.add_argument("source", metavar="SCENARIO", help=SOURCE_HELP)
    day.add_argument("--date", metavar="YYYY-MM-DD", help="another day than the scenario's")
    day.add_argument("--latitude", type=float, metavar="DEGREES", help="another site than the scenario's")
    day.add_argument("--longitude", type=float, default=0.0, metavar="DEGREES", help="east positive (0)")
    day.add_argument(
        "--utc-offset", type=float, default=0.0, metavar="HOURS", help="what the site's clock is ahead (0)"
    )
    day.add_argument("--step", type=float, default=15.0, metavar="MINUTES", help="between two times (15)")
    day.add_argument("--json", action="store_true", help="print JSON with every number")


def add_limits(commands: Commands) -> None:
    limits = commands.add_parser(
        "limits", help="limits that hurt people: cold voltage, reverse current, where an earth fault is"
    )
    limits.add_argument("source", metavar="SCENARIO", help=SOURCE_HELP)
    # (option, default, unit, help)
    for option, default, unit, said in (
        ("--lowest", -15.0, "CELSIUS", "lowest temperature to be expected of cells in the light (-15)"),
        ("--system", 1000.0, "VOLT", "what modules, switches and inverter are made for, the least (1000)"),
        ("--module-fuse", 20.0, "AMPERE", "maximum overcurrent protection rating of the modules (20)"),
        ("--string-fuse", 20.0, "AMPERE", "rating of the fuse in each string that has one (20)"),
        ("--minus", None, "VOLT", "read between the minus pole and earth, 0 or negative"),
        ("--plus", None, "VOLT", "read between the plus pole and earth, 0 or positive"),
        ("--meter", 1e7, "OHM", "resistance of the meter (10 million)"),
        ("--fault-ohm", 0.0, "OHM", "resistance of the fault of --fault (0)"),
    ):
        limits.add_argument(option, type=float, default=default, metavar=unit, help=said)
    limits.add_argument("--string", type=int, metavar="NUMBER", help="the string that is looked at (all)")
    limits.add_argument(
        "--fault",
        metavar="MODULE",
        help="what a meter would show if the plus lead of this module touched earth",
    )
    limits.add_argument("--json", action="store_true", help="print JSON with every number")


def add_study(commands: Commands) -> None:
    study = commands.add_parser("study", help="solve every case of a study and write the table")
    study.add_argument(
        "source",
        metavar="STUDY",
        help="a study (.toml), the name of one that comes with pvsim, or - for the standard input",
    )
    study.add_argument("-o", "--output", metavar="FILE", help="where to write the table as CSV; - prints it")
    study.add_argument("--json", action="store_true", help="write or print the table as JSON")
    study.add_argument(
        "--figure",
        metavar="FILE",
        help="also draw which instrument would notice what, where the study reads that: .svg or .png",
    )
    study.add_argument("--dark", action="store_true", help="with --figure: light on dark")
    study.add_argument("--workers", type=int, metavar="NUMBER", help="processes (as many as cores)")
    study.add_argument("--dask", metavar="ADDRESS", help="hand the work to a dask scheduler, tcp://HOST:PORT")
