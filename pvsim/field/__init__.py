"""What is measured on a roof: instruments, their readings and how far these may be off.

A meter is a frozen value with its stated limits; what it reads comes from the circuit's solution, and its
errors and noise from its serial number and the number of the reading.
"""

from __future__ import annotations

from pvsim.field.doubt import USUAL_DOUBT, Doubt, prediction_uncertainty
from pvsim.field.insulation import InsulationTest, earth_resistance_Mohm, insulation_test
from pvsim.field.kit import KIT
from pvsim.field.log import Log, LogEntry, noted
from pvsim.field.meter import Budget, Meter, MeterRange, budget_of
from pvsim.field.neighbour import check_neighbour, neighbour_of
from pvsim.field.notice import (
    NOTICED,
    Notice,
    against_neighbour,
    against_prediction,
    noticed,
)
from pvsim.field.probe import PROBES, Probe, measure, meter_of, true_value
from pvsim.field.reading import Display, Reading, read_meter, read_often
from pvsim.field.rule import (
    RULES,
    Chances,
    called_faulty,
    rule_against_neighbour,
    rule_against_prediction,
)
from pvsim.field.survey import Sight, best_of, notices_of, survey
from pvsim.field.thermogram import CameraSettings, Thermogram, take_thermogram
from pvsim.field.trace import Trace, trace_curve

__all__ = [
    "KIT",
    "NOTICED",
    "PROBES",
    "RULES",
    "USUAL_DOUBT",
    "Budget",
    "CameraSettings",
    "Chances",
    "Display",
    "Doubt",
    "InsulationTest",
    "Log",
    "LogEntry",
    "Meter",
    "MeterRange",
    "Notice",
    "Probe",
    "Reading",
    "Sight",
    "Thermogram",
    "Trace",
    "against_neighbour",
    "against_prediction",
    "best_of",
    "budget_of",
    "called_faulty",
    "check_neighbour",
    "earth_resistance_Mohm",
    "insulation_test",
    "measure",
    "meter_of",
    "neighbour_of",
    "noted",
    "noticed",
    "notices_of",
    "prediction_uncertainty",
    "read_meter",
    "read_often",
    "rule_against_neighbour",
    "rule_against_prediction",
    "survey",
    "take_thermogram",
    "trace_curve",
    "true_value",
]
