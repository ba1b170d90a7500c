"""Question banks for learning platforms, all from one item: what differs is how each is written."""

from __future__ import annotations

from pvsim.exercise.bank.bank import BANK_FORMS, variants_of, write_bank
from pvsim.exercise.bank.gift import write_gift
from pvsim.exercise.bank.moodle_xml import write_moodle_xml
from pvsim.exercise.bank.qti import write_qti

__all__ = ["BANK_FORMS", "variants_of", "write_bank", "write_gift", "write_moodle_xml", "write_qti"]
