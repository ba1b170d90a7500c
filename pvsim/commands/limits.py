"""`pvsim limits`: cold voltage and reverse current of an array against ratings; where an earth fault is."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import asdict
from typing import Any

import pvsim
from pvsim.array.index import array_index
from pvsim.array.place import level_of, parse_place
from pvsim.array.scenario import Scenario, check_place
from pvsim.commands.source import open_scenario
from pvsim.errors import FileError
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.numbers import format_fixed
from pvsim.safety import (
    EarthFault,
    EarthReadings,
    Ratings,
    cold_voltages,
    earth_voltages,
    locate_earth_fault,
    own_earth_fault,
    reverse_currents,
)
from pvsim.safety.sentences import (
    CAUTIONS,
    cold_sentences,
    earth_sentence,
    readings_sentence,
    reverse_sentences,
)


def run(options: Namespace) -> int:
    """Hold the array that is named against its limits; look for an earth fault if its voltages are given."""
    scenario = open_scenario(options.source)
    ratings = Ratings(
        lowest_C=options.lowest,
        system_voltage_V=options.system,
        module_fuse_A=options.module_fuse,
        string_fuse_A=options.string_fuse,
    )
    cold, reverse = cold_voltages(scenario, ratings), reverse_currents(scenario, ratings)
    found, shown = _earth_faults(scenario, options), _shown(scenario, options)
    if options.json:
        import json

        values: dict[str, Any] = {"pvsim": pvsim.__version__, "title": scenario.title}
        values |= {"limits": list(MODEL_LIMITS), "cautions": list(CAUTIONS), "ratings": asdict(ratings)}
        values["cold"] = [{**asdict(one), "over": one.over} for one in cold]
        values["reverse"] = [
            {**asdict(one), "needs_fuse": one.needs_fuse, "fuse_fits": one.fuse_fits, "wrong": one.wrong}
            for one in reverse
        ]
        values["earth_faults"] = [asdict(one) for one in found]
        values["earth_voltages"] = asdict(shown) if shown else None
        print(json.dumps(values, indent=2, allow_nan=False))
        return 0
    lines = [one_line(scenario.title), "", "Open on the coldest bright morning"]
    lines += [f"  {line}" for line in cold_sentences(cold, ratings)]
    lines += ["", "Driven into one string by the others"]
    lines += [f"  {line}" for line in reverse_sentences(reverse)]
    if found:
        lines += ["", "Earth fault, by the voltages of the open array to earth"]
        lines += [f"  {earth_sentence(one)}" for one in found]
    own = own_earth_fault(scenario)
    if own:
        lines += ["", readings_sentence(*own)]
    if shown:
        minus, plus = (format_fixed(one, "V", decimals=1) for one in (shown.minus_V, shown.plus_V))
        lines += [
            "",
            f"With the plus lead of module {options.fault} on earth: minus {minus}, plus {plus} to earth",
        ]
    print("\n".join([*lines, "", *CAUTIONS, MODEL_LIMITS[1]]))
    return 0


def _earth_faults(scenario: Scenario, options: Namespace) -> list[EarthFault]:
    if options.minus is None and options.plus is None:
        return []
    if options.minus is None or options.plus is None:
        raise FileError(
            "one of two voltages to earth is given",
            expected="--minus and --plus, both read on the open array",
            mend="Give the other one as well, such as --minus -120 --plus 200",
        )
    _check_meter(options)
    readings = EarthReadings(minus_V=options.minus, plus_V=options.plus)
    every = range(1, len(array_index(scenario).strings) + 1)
    numbers = [options.string] if options.string is not None else every
    return [locate_earth_fault(scenario, number, readings, meter_ohm=options.meter) for number in numbers]


def _shown(scenario: Scenario, options: Namespace) -> EarthReadings | None:
    if options.fault is None:
        return None
    _check_meter(options)
    place = parse_place(options.fault)
    if level_of(place) != "module":
        raise FileError(
            f"'{options.fault[:40]}' is no module",
            expected="string and module, such as 1/3",
            mend="An earth fault here touches the plus lead of a module",
        )
    check_place(scenario, place)
    return earth_voltages(
        scenario,
        place.string or 1,
        place.module or 1,
        resistance_ohm=options.fault_ohm,
        meter_ohm=options.meter,
    )


def _check_meter(options: Namespace) -> None:
    if not 1e3 <= options.meter <= 1e12 or not 0.0 <= options.fault_ohm <= 1e12:
        raise FileError(
            "the meter or the fault has no such resistance",
            expected="--meter from 1,000 ohm and --fault-ohm from 0, both up to 1e12",
            mend="An ordinary voltmeter has 10 million ohm",
        )
