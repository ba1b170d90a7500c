"""Settings every test shares: how long hypothesis searches, and how to ask for more."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# A shared two-core machine stalls at times, so no search is failed for the time one example takes.
settings.register_profile(
    "usual", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow], max_examples=60
)
settings.register_profile("long", settings.get_profile("usual"), derandomize=False, max_examples=2000)
settings.load_profile(os.environ.get("PVSIM_HYPOTHESIS", "usual"))
