"""Random scenarios for the round trips, every field of them drawn."""

from __future__ import annotations

from hypothesis import strategies as st

from pvsim.array import (
    CATALOGUE,
    FAULT_KINDS,
    Array,
    Fault,
    FirstView,
    Light,
    Module,
    ModuleType,
    Operation,
    Painted,
    Place,
    Scenario,
    Shadow,
    String,
    Substring,
    Weather,
)
from pvsim.array.light import SHADOW_KINDS
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode


def number(least, most):
    return st.floats(least, most, allow_nan=False)


def text(most):
    """Any text a value accepts, with quotes, line breaks, other scripts and odd separators."""
    odd = st.sampled_from(list("\n\t\"'\\#=[]{}<>&;\x7f\x85\u2028\u202e\ufffe"))
    signs = st.characters(min_codepoint=32, exclude_categories=["Cs"]) | odd
    return st.text(signs, max_size=min(most, 40))


cells = st.builds(
    CellType,
    photocurrent_A=number(0, 20),
    saturation_current_A=number(1e-15, 1e-6),
    ideality=number(0.9, 2.0),
    series_resistance_ohm=number(0, 0.05),
    shunt_resistance_ohm=number(0.1, 1e4),
    breakdown_fraction=number(0, 0.1),
    breakdown_voltage_V=number(-40, -3),
    breakdown_exponent=number(1, 5),
    second_saturation_current_A=number(0, 1e-6),
    second_ideality=number(1.5, 2.5),
    photocurrent_coefficient_per_K=number(-0.001, 0.001),
    shunt_follows_irradiance=st.booleans(),
)
diodes = st.builds(
    Diode,
    saturation_current_A=number(1e-9, 1e-3),
    ideality=number(0.9, 2),
    series_resistance_ohm=number(0, 0.1),
    condition=st.sampled_from(["good", "open", "short", "reversed", "resistive"]),
    contact_resistance_ohm=number(0, 10),
)


@st.composite
def module_types(draw, name):
    rows, columns = draw(st.integers(1, 5)), draw(st.integers(1, 4))
    order = draw(st.permutations(range(rows * columns)))
    cuts = sorted(draw(st.sets(st.integers(1, rows * columns - 1), max_size=3)) if rows * columns > 1 else [])
    chains = [tuple(order[a:b]) for a, b in zip([0, *cuts], [*cuts, rows * columns], strict=True)]
    first = draw(st.integers(1, len(chains)))
    groups = [tuple(chains[:first])] + ([tuple(chains[first:])] if first < len(chains) else [])
    return ModuleType(
        name=name,
        title=draw(text(200)),
        note=draw(text(4000)),
        cell=draw(cells),
        rows=rows,
        columns=columns,
        cell_width_m=draw(number(0.01, 0.3)),
        cell_height_m=draw(number(0.01, 0.3)),
        substrings=tuple(Substring(chains=group, diode=draw(st.none() | diodes)) for group in groups),
        junction_boxes=tuple(draw(st.lists(st.tuples(number(0, 2), number(0, 2)), max_size=3))),
        bifaciality=draw(number(0, 1)),
        margin_m=draw(number(0, 0.1)),
        gap_m=draw(number(0, 0.01)),
    )


@st.composite
def places(draw, scenario, levels):
    """A place that exists in a scenario's array."""
    level = draw(st.sampled_from(levels))
    if level == "array":
        return Place()
    string = draw(st.integers(1, len(scenario.array.strings)))
    if level == "string":
        return Place(string)
    modules = scenario.array.strings[string - 1].modules
    module = draw(st.integers(1, len(modules)))
    kinds = {**CATALOGUE, **{kind.name: kind for kind in scenario.module_types}}
    kind = kinds[modules[module - 1].type]
    if level == "cell":
        return Place(string, module, cell=draw(st.integers(1, kind.rows * kind.columns)))
    bypassed = [k for k, part in enumerate(kind.substrings, 1) if part.diode is not None]
    if level == "substring":
        return Place(string, module, substring=draw(st.integers(1, len(kind.substrings))))
    if level == "diode" and bypassed:
        return Place(string, module, diode=draw(st.sampled_from(bypassed)))
    return Place(string, module)


@st.composite
def faults(draw, scenario):
    kind = draw(st.sampled_from(sorted(set(FAULT_KINDS) - {"modules-too-few", "fuse-blown"})))
    row = FAULT_KINDS[kind]
    place = draw(places(scenario, list(row.scopes)))
    other = None
    if row.scope == "diode" and place.diode is None:  # the module drawn has no bypass diode
        return None
    if kind == "string-bridge":
        other = draw(places(scenario, ["module"]))
        if other == place:
            return None
    size = None
    if row.size is not None:
        size = draw(st.integers(1, 5) if row.count else number(row.least, min(row.most, 1e6)))
    return Fault(kind, place, size, other)


shadows = st.builds(
    Shadow,
    kind=st.sampled_from(SHADOW_KINDS),
    x_m=number(-50, 50),
    y_m=number(-50, 50),
    width_m=number(0, 20),
    height_m=number(0, 20),
    angle_deg=number(-360, 360),
    transmission=number(0, 1),
    name=text(60),
)
operations = st.one_of(
    st.just(Operation()),
    st.builds(Operation, st.sampled_from(["voltage", "current"]), number(-1e4, 1e4)),
    st.builds(Operation, st.just("load"), number(1e-6, 1e6)),
)


@st.composite
def scenarios(draw):
    """A scenario in which everything that can differ from its default may."""
    own = draw(st.lists(st.sampled_from(["own", "my 60", 'a "b" = <c>', "Zelle.β"]), unique=True, max_size=2))
    types = tuple(draw(module_types(name)) for name in own)
    names = st.sampled_from(sorted(CATALOGUE)[:3] + own)
    modules = st.lists(st.builds(Module, names, st.booleans()), min_size=1, max_size=4)
    strings = st.builds(
        String,
        modules=modules.map(tuple),
        cable_resistance_ohm=number(0, 5),
        connector_resistance_ohm=number(0, 1),
        fuse=st.booleans(),
        blocking_diode=st.booleans(),
        irradiance_factor=number(0, 1.5),
    )
    array = Array(
        strings=tuple(draw(st.lists(strings, min_size=1, max_size=3))) * draw(st.integers(1, 2)),
        orientation=draw(st.sampled_from(["portrait", "landscape"])),
        main_cable_resistance_ohm=draw(number(0, 1)),
        grounded=draw(st.sampled_from(["none", "negative"])),
        row_gap_m=draw(number(0, 2)),
        module_gap_m=draw(number(0, 1)),
        modules_per_row=draw(st.integers(1, 40)),
    )
    bare = Scenario(title=draw(text(200)), note=draw(text(4000)), module_types=types, array=array)
    broken = [fault for fault in draw(st.lists(faults(bare), max_size=5)) if fault is not None]
    painted = draw(
        st.lists(
            st.builds(
                Painted, places(bare, ["array", "string", "module", "substring", "cell"]), number(0, 1)
            ),
            max_size=6,
        )
    )
    return Scenario(
        title=bare.title,
        note=bare.note,
        module_types=types,
        array=array,
        light=Light(
            irradiance_W_m2=draw(number(0, 2000)),
            diffuse_fraction=draw(number(0, 1)),
            rear_irradiance_W_m2=draw(number(0, 500)),
            painted=tuple(one for one in painted for _ in range(draw(st.integers(1, 2)))),
            shadows=tuple(draw(st.lists(shadows, max_size=3))),
        ),
        faults=tuple(broken),
        weather=draw(
            st.builds(
                Weather,
                cell_temperature_C=number(-40, 90),
                ambient_temperature_C=number(-40, 60),
                wind_m_s=number(0, 20),
                heat=st.sampled_from(["fixed", "steady", "feedback"]),
            )
        ),
        operation=draw(operations),
        first_view=FirstView(
            focus=draw(places(bare, ["array", "string", "module", "cell"])),
            quantity=draw(st.sampled_from(["irradiance", "voltage", "power", "temperature"])),
        ),
    )
