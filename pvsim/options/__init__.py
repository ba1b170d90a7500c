"""What each subcommand may be given, in groups: a part of the command line, read at every start."""

from __future__ import annotations
