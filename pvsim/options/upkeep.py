"""Options of what looks after pvsim and its files: check, benchmark."""

from __future__ import annotations

from pvsim.options.parser import Commands

__all__ = ["add_benchmark", "add_check"]


def add_check(commands: Commands) -> None:
    check = commands.add_parser("check", help="check lessons, scenarios and studies and say how to mend them")
    check.add_argument("paths", nargs="*", metavar="PATH", help="files or folders (what comes with pvsim)")
    check.add_argument("--json", action="store_true", help="print what was found as JSON")


def add_benchmark(commands: Commands) -> None:
    benchmark = commands.add_parser(
        "benchmark", help="measure speed and accuracy on this machine, each figure beside its bar"
    )
    benchmark.add_argument("rows", nargs="*", metavar="ROW", help="rows of the table to measure (all)")
    benchmark.add_argument("--json", action="store_true", help="print the figures as JSON")
