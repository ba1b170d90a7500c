"""`python -m pvsim` is the same as `pvsim`."""

from __future__ import annotations

import sys

from pvsim.cli import main

sys.exit(main())
