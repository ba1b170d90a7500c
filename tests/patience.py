"""How long tests wait for what comes anyway: so long that only a broken pvsim lets it run out.

Nothing is timed by it. A shared machine may be three times slower than the one the tests were written
on, and stall on top of that.
"""

from __future__ import annotations

PATIENCE_s = 300
PATIENCE_ms = 60_000  # for one thing to appear on a page
