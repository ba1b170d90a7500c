"""Random arrays with random light, heat and faults."""

from __future__ import annotations

from hypothesis import strategies as st

from pvsim.array import CATALOGUE, FAULT_KINDS, Fault, Painted, Place, add_fault, set_light, set_weather
from tests.array.samples import scenario

kinds_alone = sorted(set(FAULT_KINDS) - {"string-bridge", "earth-fault", "fuse-blown"})


@st.composite
def random_arrays(draw):
    type = draw(st.sampled_from(["full-36", "full-60", "half-120", "back-contact-72", "bare-60"]))
    lengths = draw(st.lists(st.integers(1, 4), min_size=1, max_size=3))
    leads = {
        "cable_resistance_ohm": draw(st.sampled_from([0.0, 0.3])),
        "blocking_diode": draw(st.booleans()),
    }
    start = scenario(*lengths, type=type, string=leads, tracking=draw(st.sampled_from(["one", "per-string"])))
    cells = CATALOGUE[type].rows * CATALOGUE[type].columns
    string = st.integers(1, len(lengths))

    def place(level: str) -> Place:
        s = draw(string)
        m = draw(st.integers(1, lengths[s - 1]))
        return {"array": Place(), "string": Place(s), "module": Place(s, m),
                "cell": Place(s, m, draw(st.integers(1, cells))),
                "diode": Place(s, m, diode=draw(st.integers(1, 2)))}[level]  # fmt: skip

    painted = tuple(
        Painted(place(draw(st.sampled_from(["cell", "cell", "module", "string"]))), draw(st.floats(0.0, 1.0)))
        for _ in range(draw(st.integers(0, 6)))
    )
    start = set_light(start, irradiance_W_m2=draw(st.floats(0.0, 1200.0)), painted=painted)
    start = set_weather(start, cell_temperature_C=draw(st.floats(-40.0, 90.0)))
    for _ in range(draw(st.integers(0, 4))):
        name = draw(st.sampled_from(kinds_alone))
        kind = FAULT_KINDS[name]
        if (kind.scope == "diode" and type == "bare-60") or name == "modules-too-few":
            continue
        size = None
        if kind.size is not None and not kind.count:
            size = draw(st.floats(max(kind.least, 0.1 * kind.size), min(kind.most, 10.0 * kind.size)))
        start = add_fault(start, Fault(name, place(kind.scope), size))
    return start
