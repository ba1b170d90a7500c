"""The command line: `pvsim` alone opens the page, subcommands do the rest.

Each subcommand imports its own file in `pvsim.commands`, and that imports only what it
needs: `pvsim solve` starts without panel, bokeh and scipy.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

import pvsim
from pvsim.errors import FileError, PvsimError, cut_part
from pvsim.options import bench, module, teaching, upkeep
from pvsim.options.parser import Parser

_EXTRAS = {  # package that may be missing -> what needs it, the extra that has it
    "panel": ("the page", "page"),
    "bokeh": ("the page", "page"),
    "param": ("the page", "page"),
    "distributed": ("--dask", "dask"),
    "markdown_it": ("a question bank or work sheet", "page"),
    "psycopg": ("a store on a PostgreSQL server", "class"),
    "sqlalchemy": ("a class", "class"),
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str or None
        Without the program's name; None takes them from the system.

    Returns
    -------
    int
        0 when done, 1 when `check` found something or a bar was missed, 2 on bad input, 130 when
        interrupted.
    """
    words = list(sys.argv[1:] if arguments is None else arguments)
    options = make_parser().parse_args(_with_negative_points(words))
    try:
        # All commands need it. Imported from deeper down, it takes 15 ms longer: CPython 3.11 then gives a
        # piece of its stack back to the system and asks for it again at every other call.
        import_module("numpy")
        command = import_module(f"pvsim.commands.{options.command or 'serve'}")
        result: int = command.run(options)
        sys.stdout.flush()
        return result
    except BrokenPipeError:  # the reader, such as head, has seen enough
        _let_go_of_output()
        return 0
    except OSError as error:
        _let_go_of_output()
        print(f"pvsim: {_told(error)}", file=sys.stderr)
        return 2
    except PvsimError as error:
        print(f"pvsim: {error}", file=sys.stderr)
        return 2
    except ModuleNotFoundError as error:
        if error.name not in _EXTRAS:
            raise
        what, extra = _EXTRAS[error.name]
        print(
            f"pvsim: {what} needs the package {error.name}. Install it with: pip install 'pvsim[{extra}]'.",
            file=sys.stderr,
        )
        return 2
    except KeyboardInterrupt:
        return 130


def _told(error: OSError) -> PvsimError:
    """What the system did not let us do, beyond what commands tell themselves."""
    what = str(error.filename or "the standard output")
    return FileError(
        f"{cut_part(what)} cannot be read or written ({error.strerror or error})",
        expected="a file, folder or disk that lets pvsim in and has room",
        mend="Free some space, or name another place",
    )


def _let_go_of_output() -> None:
    """Send what is still to be written nowhere: Python tries once more as it ends, and would complain."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):  # it has no file of its own, or none any more
        return


def _with_negative_points(words: list[str]) -> list[str]:
    """The words with `--at -5V` as one: a value that begins with a minus would be taken for an option."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] == "--at" and word[:1] == "-" and word[1:].lstrip(".,")[:1].isdigit():
            joined[-1] = f"--at={word}"
        else:
            joined.append(word)
    return joined


def make_parser() -> argparse.ArgumentParser:
    """The parser of the whole command line."""
    parser = Parser(
        prog="pvsim",
        description="A bench for teaching how photovoltaic cells, substrings and bypass diodes behave. "
        "Without a subcommand it opens the page.",
    )
    parser.add_argument("--version", action="version", version=f"pvsim {pvsim.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="SUBCOMMAND")
    for add in (
        teaching.add_serve,
        bench.add_solve,
        bench.add_export,
        bench.add_wiring,
        bench.add_day,
        bench.add_limits,
        bench.add_study,
        module.add_sheet,
        module.add_traced,
        teaching.add_lesson,
        teaching.add_exercise,
        teaching.add_mark,
        teaching.add_paper,
        teaching.add_closing,
        upkeep.add_check,
        upkeep.add_benchmark,
    ):
        add(commands)
    parser.set_defaults(
        source=None,
        port=None,
        browser=True,
        network=False,
        store=None,
        processes=1,
        lessons=None,
        language=None,
        names=[],
        embedders=[],
    )
    return parser
