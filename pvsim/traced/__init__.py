"""Measured curves: read, translated, laid beside the model, named by their shape.

    bytes --decode--> text --propose--> Proposal --a person agrees--> Mapping --read_traced--> TracedCurve
    TracedCurve --translate--> another light and temperature (IEC 60891)
    TracedCurve, Characteristic --lay_beside--> residual and key figures of both
    TracedCurve, Characteristic --shape_deviations--> the trade's six deviations, each with its evidence
    TracedCurve, Scenario, Place --rank_faults--> families of fault, the likeliest first, each with where it
                                                 is as far as a curve tells, or none of these

Files of tracers are untrusted: their size is bounded before anything is looked at, and whatever is wrong
with them is a FileError.
"""

from __future__ import annotations

from pvsim.traced.columns import FoundColumn, LeftOut, Proposal, propose, propose_again
from pvsim.traced.correction import curve_at, first_correction, second_correction
from pvsim.traced.decoding import decode
from pvsim.traced.family import FAMILIES, Family
from pvsim.traced.key_points import Noise, TracedPoints, key_points, noise_of
from pvsim.traced.layout import Layout
from pvsim.traced.mapping import Mapping, Use
from pvsim.traced.quantity import QUANTITIES, Quantity
from pvsim.traced.ranking import Ranked, Ranking, rank_faults
from pvsim.traced.residual import Beside, lay_beside
from pvsim.traced.shape import EVIDENCE, LEAST, SHAPES, TITLES, Deviation, Deviations, shape_deviations
from pvsim.traced.stranger import Stranger, say_stranger, stranger_to
from pvsim.traced.traced_curve import TracedCurve, read_traced
from pvsim.traced.translate import FirstCorrection, SecondCorrection, translate
from pvsim.traced.where import Where, say_where

__all__ = [
    "EVIDENCE",
    "FAMILIES",
    "LEAST",
    "QUANTITIES",
    "SHAPES",
    "TITLES",
    "Beside",
    "Deviation",
    "Deviations",
    "Family",
    "FirstCorrection",
    "FoundColumn",
    "Layout",
    "LeftOut",
    "Mapping",
    "Noise",
    "Proposal",
    "Quantity",
    "Ranked",
    "Ranking",
    "SecondCorrection",
    "Stranger",
    "TracedCurve",
    "TracedPoints",
    "Use",
    "Where",
    "curve_at",
    "decode",
    "first_correction",
    "key_points",
    "lay_beside",
    "noise_of",
    "propose",
    "propose_again",
    "rank_faults",
    "read_traced",
    "say_stranger",
    "say_where",
    "second_correction",
    "shape_deviations",
    "stranger_to",
    "translate",
]
