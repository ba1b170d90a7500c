"""`python -m pvsim` is the same as `pvsim`."""

from __future__ import annotations

import sys

from pvsim.process import run

sys.exit(run())
