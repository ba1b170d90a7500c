"""What every export says about itself: version, scenario, and the limits of the model."""

from __future__ import annotations

import pvsim
from pvsim.words import _, mark

MODEL_LIMITS = (
    mark(
        "Model: one-diode cells with Bishop's reverse term in steady state, each cell evenly lit and warm; "
        "no spectrum, no angle of incidence, no ageing, no inverter."
    ),
    mark("pvsim teaches; it is no design or safety tool. Modules are live whenever light falls on them."),
)


def provenance(title: str) -> tuple[str, ...]:
    """Lines that name the pvsim version, the scenario and the model's limits."""
    scenario = _("Scenario: {title}").format(title=one_line(_(title)))
    return (f"pvsim {pvsim.__version__}", scenario, *(_(limit) for limit in MODEL_LIMITS))


def one_line(text: str) -> str:
    """Put a foreign text on one line, without signs that end lines or turn the writing direction."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
