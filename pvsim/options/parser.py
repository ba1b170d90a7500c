"""The parser that all subcommands share, and what several of them say of their source."""

from __future__ import annotations

import argparse
import os
import sys
from typing import Any, NoReturn, TypeAlias

__all__ = ["SOURCE_HELP", "Commands", "Parser"]

SOURCE_HELP = (
    "a scenario (.toml), a bare circuit (.toml or .json), the name of a scenario that comes with pvsim, "
    "a link to the page, or - for the standard input"
)


class Parser(argparse.ArgumentParser):
    """A parser that refuses in one sentence."""

    def __init__(self, **options: Any) -> None:
        super().__init__(formatter_class=_help_formatter, **options)

    def error(self, message: str) -> NoReturn:
        print(f"{self.prog}: {message}. See {self.prog} --help.", file=sys.stderr)
        raise SystemExit(2)


Commands: TypeAlias = "argparse._SubParsersAction[Parser]"  # generic for those who check types alone


def _help_formatter(prog: str) -> argparse.HelpFormatter:
    # Every argument asks for one; left to find the width itself, it would load shutil and its archives.
    try:
        columns = os.get_terminal_size().columns
    except OSError:
        columns = 80
    return argparse.HelpFormatter(prog, width=columns - 2)
