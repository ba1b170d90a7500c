"""One file for each subcommand; its `run(options)` gives the exit code."""

from __future__ import annotations
