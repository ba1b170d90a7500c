"""Meters as an installer carries them.

Every figure is typical of its kind, from memory; no maker's meter has these. Who has one of their own writes
its data sheet into a Meter.
"""

from __future__ import annotations

from pvsim.field.meter import Meter, MeterRange
from pvsim.words import mark

__all__ = [
    "BACK_SENSOR",
    "CAMERA",
    "CLAMP_METER",
    "DISPLAY_CURRENT",
    "DISPLAY_POWER",
    "DISPLAY_VOLTAGE",
    "INSULATION_TESTER",
    "IRRADIANCE_SENSOR",
    "KIT",
    "RANGED",
    "TRACER_CURRENT",
    "TRACER_VOLTAGE",
    "VOLTMETER",
    "VOLTMETER_ohm",
]

VOLTMETER_ohm = 1e7  # what an ordinary digital voltmeter lets through; common practice, no source

# +-(0.5 % + 2 digits), 6000 counts: typical of a hand-held multimeter on DC volts, from memory.
VOLTMETER = Meter(
    key="voltmeter",
    name=mark("voltmeter"),
    quantity=mark("voltage"),
    unit="V",
    ranges=(
        MeterRange(most=6.0, step=0.001, noise=0.0005),
        MeterRange(most=60.0, step=0.01, noise=0.005),
        MeterRange(most=600.0, step=0.1, noise=0.05),
        MeterRange(most=1500.0, step=1.0, noise=0.5),
    ),
    gain_percent=0.5,
    digits=2.0,
)

# +-(2 % + 5 digits), and 0.05 A that its iron keeps until it is set to zero again: typical of a clamp for
# direct current, from memory.
CLAMP_METER = Meter(
    key="clamp-meter",
    name=mark("clamp meter"),
    quantity=mark("current"),
    unit="A",
    ranges=(MeterRange(most=40.0, step=0.01, noise=0.01), MeterRange(most=400.0, step=0.1, noise=0.1)),
    gain_percent=2.0,
    digits=5.0,
    zero=0.05,
    drift_per_h=0.05,
)

# +-(5 % + 2 W/m2): typical of a hand-held silicon sensor in the modules' plane, from memory.
IRRADIANCE_SENSOR = Meter(
    key="irradiance-sensor",
    name=mark("irradiance sensor"),
    quantity=mark("irradiance"),
    unit="W/m2",
    ranges=(MeterRange(most=1500.0, step=1.0, noise=1.0),),
    gain_percent=5.0,
    zero=2.0,
)

# +-2 K, most of it the contact between probe and sheet: typical, from memory.
BACK_SENSOR = Meter(
    key="back-sensor",
    name=mark("temperature sensor"),
    quantity=mark("temperature of the back"),
    unit="°C",
    ranges=(MeterRange(most=200.0, step=0.1, noise=0.1),),
    zero=2.0,
)

# Coarse, since it is made to control and not to measure: typical, from memory.
DISPLAY_POWER = Meter(
    key="display-power",
    name=mark("inverter display, power"),
    quantity=mark("power"),
    unit="W",
    ranges=(
        MeterRange(most=9_990.0, step=10.0, noise=5.0),
        MeterRange(most=500_000.0, step=100.0, noise=50.0),
    ),
    gain_percent=3.0,
    digits=1.0,
)
DISPLAY_VOLTAGE = Meter(
    key="display-voltage",
    name=mark("inverter display, voltage"),
    quantity=mark("voltage"),
    unit="V",
    ranges=(MeterRange(most=1500.0, step=1.0, noise=0.5),),
    gain_percent=1.5,
    digits=1.0,
)
DISPLAY_CURRENT = Meter(
    key="display-current",
    name=mark("inverter display, current"),
    quantity=mark("current"),
    unit="A",
    ranges=(MeterRange(most=1000.0, step=0.1, noise=0.05),),
    gain_percent=2.0,
    digits=1.0,
)

# +-(3 % + 5 digits): typical, from memory.
INSULATION_TESTER = Meter(
    key="insulation-tester",
    name=mark("insulation tester"),
    quantity=mark("resistance to earth"),
    unit="Mohm",
    ranges=(
        MeterRange(most=2.0, step=0.001, noise=0.001),
        MeterRange(most=20.0, step=0.01, noise=0.01),
        MeterRange(most=200.0, step=0.1, noise=0.1),
        MeterRange(most=2000.0, step=1.0, noise=2.0),
    ),
    gain_percent=3.0,
    digits=5.0,
)

# +-(0.5 % + 0.1 %) of reading and range, noise of a thousandth of it: typical, from memory.
TRACER_VOLTAGE = Meter(
    key="tracer-voltage",
    name=mark("I-V tracer, voltage"),
    quantity=mark("voltage"),
    unit="V",
    ranges=(
        MeterRange(most=100.0, step=0.01, noise=0.05),
        MeterRange(most=1500.0, step=0.1, noise=0.5),
    ),
    gain_percent=0.5,
    range_percent=0.1,
)
TRACER_CURRENT = Meter(
    key="tracer-current",
    name=mark("I-V tracer, current"),
    quantity=mark("current"),
    unit="A",
    ranges=(
        MeterRange(most=20.0, step=0.001, noise=0.01),
        MeterRange(most=200.0, step=0.01, noise=0.1),
        MeterRange(most=2000.0, step=0.1, noise=1.0),
    ),
    gain_percent=0.5,
    range_percent=0.1,
)

# +-2 K for the whole picture, 0.08 K from pixel to pixel: typical of an uncooled camera, from memory.
CAMERA = Meter(
    key="infrared-camera",
    name=mark("infrared camera"),
    quantity=mark("temperature seen"),
    unit="°C",
    ranges=(MeterRange(most=350.0, step=0.1, noise=0.08),),
    zero=2.0,
)

KIT = (
    VOLTMETER,
    CLAMP_METER,
    IRRADIANCE_SENSOR,
    BACK_SENSOR,
    DISPLAY_POWER,
    DISPLAY_VOLTAGE,
    DISPLAY_CURRENT,
    INSULATION_TESTER,
    TRACER_VOLTAGE,
    TRACER_CURRENT,
    CAMERA,
)

RANGED = (VOLTMETER, CLAMP_METER)  # their range can be set by hand; all others choose for themselves
