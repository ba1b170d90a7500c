"""What kind of cell it may be: told from the voltage and its fall with temperature, where they allow it."""

from __future__ import annotations

from pvsim.circuit.leaf import thermal_voltage
from pvsim.sheet.bands import Structure
from pvsim.sheet.coefficient import absolute_per_K
from pvsim.sheet.data_sheet import DataSheet
from pvsim.sheet.finding import Amount, Finding
from pvsim.words import mark

# Common practice, no single source: plain cells end at about 0.69 V, contacts that are passivated all over
# begin at about 0.72 V; what lies between may be either.
_PLAIN_V, _HIGH_V = 0.69, 0.72
_BAND_GAP_V, _POWER = 1.2, 3.0  # Vg0 and gamma of the equation below
_NEAR_mV_per_K = 0.3  # measured modules keep that far from it: -2.00 to -2.08, heterojunction -1.785


def expected_fall_mV_per_K(cell_voc_V: float) -> float:
    """How a cell's Voc falls with temperature, from its height.

    Notes
    -----
    dVoc/dT = -(Vg0 - Voc + gamma k T / q) / T. Source: S. R. Wenham et al., Applied Photovoltaics, eq. 3.12.
    """
    return -1000.0 * (_BAND_GAP_V - cell_voc_V + _POWER * thermal_voltage(298.15)) / 298.15


def fall_mV_per_K(sheet: DataSheet, structure: Structure) -> float:
    """The paper's beta for one cell of those in series."""
    return 1000.0 * absolute_per_K(sheet.beta, sheet.voc_V) / structure.in_series


def kind_findings(sheet: DataSheet, structure: Structure) -> tuple[Finding, ...]:
    """What voltage and temperature coefficient say of the kind of cell."""
    V, fall = structure.cell_voc_V, fall_mV_per_K(sheet, structure)
    expected = expected_fall_mV_per_K(V)
    agrees = abs(fall - expected) <= _NEAR_mV_per_K
    values = (
        ("voc", Amount(value=V, unit="V")),
        ("fall", Amount(value=fall, unit="mV/K")),
        ("expected", Amount(value=expected, unit="mV/K")),
    )
    fall_finding = Finding(
        about="fall-with-temperature",
        bearing="allowed" if agrees else "doubt",
        says=mark("β is {fall} for a cell; a cell of {voc} is expected to have about {expected}: they agree.")
        if agrees
        else mark(
            "β is {fall} for a cell; a cell of {voc} is expected to have about {expected}. They do not "
            "agree: "
            "check β, its unit and the count."
        ),
        values=values,
    )
    return (fall_finding, _kind(V, agrees, values))


def _kind(V: float, agrees: bool, values: tuple[tuple[str, Amount], ...]) -> Finding:
    if V < _PLAIN_V:
        return Finding(
            about="kind-of-cell",
            bearing="excluded",
            says=mark(
                "{voc} a cell is no high-voltage type: heterojunction and back-contact cells have more. It "
                "allows "
                "multi- and monocrystalline cells, which these numbers do not tell apart."
            ),
            values=values[:1],
        )
    if V < _HIGH_V or not agrees:
        return Finding(
            about="kind-of-cell",
            bearing="open",
            says=mark(
                "{voc} and {fall} a cell leave it open whether it is a high-voltage type (heterojunction, "
                "back-contact)."
            ),
            values=values[:2],
        )
    return Finding(
        about="kind-of-cell",
        bearing="allowed",
        says=mark(
            "{voc} a cell and a fall of only {fall} allow a high-voltage type: heterojunction, "
            "back-contact or "
            "another with passivated contacts. Which of them, these numbers do not say; their reverse "
            "characteristics are far apart, so ask the maker."
        ),
        values=values[:2],
    )
