"""`pvsim traced`: a measured curve, what was recognised in it, its shape, and the faults it may have."""

from __future__ import annotations

import json
from argparse import Namespace
from dataclasses import replace

import pvsim
from pvsim.array.place import Place, parse_place
from pvsim.commands.measured import open_measured, read_proposed
from pvsim.commands.source import open_scenario
from pvsim.commands.traced_report import (
    overlay_values,
    recognised_values,
    report_overlay,
    report_recognised,
)
from pvsim.errors import FileError
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.files.source import shown
from pvsim.traced.columns import Proposal, propose, propose_again
from pvsim.traced.mapping import Mapping, Use
from pvsim.traced.overlay import Overlay, Procedure, lay_over, rank_measured, with_conditions
from pvsim.traced.quantity import OWN_UNIT, QUANTITIES
from pvsim.traced.ranking import Ranking
from pvsim.traced.traced_curve import TracedCurve

STC_W_m2, STC_C = 1000.0, 25.0
_MAPPED = {str(one): OWN_UNIT[one] for one in QUANTITIES if one != "power"}
PROCEDURES: dict[str | None, Procedure] = {None: "none", "1": "first", "2": "second"}


def run(options: Namespace) -> int:
    """Read the curve that is named, hold it against a model where one is, and print what came out."""
    source = open_measured(options.curve)
    name, text = source.name, source.text
    found = propose(text, name)
    if options.columns or options.leave_out:
        mapping = replace(_by_hand(found.mapping, options.columns), leave_out_broken=options.leave_out)
        found = replace(propose_again(text, mapping, name), columns=found.columns)
    curve = _read(text, found, name, options)
    overlay: Overlay | None = None
    ranking: Ranking | None = None
    if options.model is not None:
        scenario = open_scenario(options.model)
        place = parse_place(options.place) if options.place else Place()
        procedure = PROCEDURES[options.procedure]
        overlay = lay_over(
            curve, scenario, place, procedure=procedure, irradiance_W_m2=STC_W_m2, temperature_C=STC_C
        )
        ranking = rank_measured(curve, scenario, place)
    elif options.place or options.procedure:
        raise FileError(
            "--place and --procedure are given without --model",
            expected="the scenario that the curve is held against",
            mend="Name it with --model",
        )
    if options.json:
        values = {"pvsim": pvsim.__version__, "file": name, **recognised_values(found, curve)}
        if overlay is not None and ranking is not None:
            values |= overlay_values(overlay, ranking)
        values["limits"] = list(MODEL_LIMITS)
        print(json.dumps(values, indent=2, allow_nan=False, ensure_ascii=False))
        return 0
    lines = report_recognised(shown(name), found, curve)
    if overlay is not None and ranking is not None:
        lines += report_overlay(overlay, ranking)
    print("\n".join(lines))
    print(f"\n{MODEL_LIMITS[1]}")
    return 0


def _read(text: str, found: Proposal, name: str, options: Namespace) -> TracedCurve:
    """The curve, refused where an option is needed that was not given, with its name."""
    curve = read_proposed(
        text,
        found,
        name,
        unknown="Name them by their numbers, such as --column voltage=1 --column current=2:mA",
        broken="Mend the row, or give --leave-out",
    )
    curve = with_conditions(curve, options.irradiance, options.temperature)
    if options.model is not None and None in (curve.irradiance_W_m2, curve.temperature_C):
        raise FileError(
            f"{shown(name)} does not say in what light or at what temperature it was measured",
            expected="both, where a model is to be held against it",
            mend="Give what is missing with --irradiance and --temperature",
        )
    return curve


def _by_hand(mapping: Mapping, columns: list[str]) -> Mapping:
    """A mapping with columns that were given as QUANTITY=NUMBER:UNIT."""
    uses = {quantity: getattr(mapping, quantity) for quantity in _MAPPED}
    for given in columns:
        quantity, _sign, rest = given.partition("=")
        number, _colon, unit = rest.partition(":")
        if quantity not in _MAPPED or not (number.isascii() and number.isdigit() and len(number) < 4):
            raise FileError(
                f"--column is given '{shown(given)}'",
                expected="QUANTITY=NUMBER or QUANTITY=NUMBER:UNIT, with one of " + ", ".join(_MAPPED),
                mend="Write it like current=3:mA; columns count from 1",
            )
        # A column that is taken for something by hand is no longer what it was recognised as.
        column = int(number)
        uses = {one: use if use is None or use.column != column else None for one, use in uses.items()}
        uses[quantity] = Use(column=column, unit=unit or _MAPPED[quantity])
    return replace(
        mapping,
        voltage=uses["voltage"],
        current=uses["current"],
        irradiance=uses["irradiance"],
        temperature=uses["temperature"],
        irradiance_W_m2=None if uses["irradiance"] else mapping.irradiance_W_m2,
        temperature_C=None if uses["temperature"] else mapping.temperature_C,
    )
