"""`python -m pvsim.locale` brings all catalogues up to date and says what waits for a translator."""

from __future__ import annotations

import sys

from pvsim.locale.refresh import refresh_all

if __name__ == "__main__":
    sys.exit(refresh_all())
