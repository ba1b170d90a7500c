"""Files as people have them, whole or spoilt, are read right or refused in one clear sentence."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.errors import FileError
from pvsim.traced.columns import propose
from pvsim.traced.decoding import decode
from pvsim.traced.key_points import key_points
from pvsim.traced.traced_curve import read_traced

V = np.arange(0.0, 20.5, 0.5)
I = np.round(8.0 - 0.01 * V - 8.0 * (V / 20.0) ** 12, 4)
PAIRS = list(zip(V.tolist(), I.tolist(), strict=True))


def rows(form, pairs=PAIRS, heading="U [V];I [A]\n", end="\n"):
    return heading.replace("\n", end) + "".join(form(v, i) + end for v, i in pairs)


def semicolons(v, i):
    return f"{v};{i}"


def comma(number):
    return str(number).replace(".", ",")


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(rows(semicolons).encode("utf-16-le"), id="utf-16-without-mark"),
        pytest.param(rows(semicolons).encode("utf-16-be"), id="utf-16-without-mark-big-end-first"),
        pytest.param(rows(semicolons).encode("utf-16"), id="utf-16"),
        pytest.param(rows(semicolons).encode("utf-8-sig"), id="utf-8-with-mark"),
        pytest.param(rows(semicolons, end="\r").encode(), id="carriage-returns-alone"),
        pytest.param(rows(lambda v, i: f"{comma(v)};{comma(i)}").encode(), id="decimal-comma"),
        pytest.param(
            rows(lambda v, i: f"{comma(v)};{comma(i)}", heading="sep=;\nU [V];I [A]\n").encode(),
            id="sep-line",
        ),
        pytest.param(
            rows(lambda v, i: f'"{comma(v)}","{comma(i)}"', heading='"U [V]","I [A]"\n').encode(),
            id="quoted-decimal-commas",
        ),
        pytest.param(
            rows(lambda v, i: f"{1e3 * v:.0f};{1e3 * i:.1f}", heading="mV;mA\n").encode(),
            id="milli-by-unit-alone",
        ),
        pytest.param(
            rows(lambda v, i: f"{v};{1e3 * i:.1f}", heading="U [V];I [mA]\n").encode(), id="volt-and-mA"
        ),
        pytest.param(rows(semicolons, PAIRS[::-1]).encode(), id="falling"),
        pytest.param(rows(semicolons, PAIRS + PAIRS[::-1]).encode(), id="both-ways"),
        pytest.param(rows(semicolons, [one for one in PAIRS for _again in range(3)]).encode(), id="repeated"),
        pytest.param(rows(lambda v, i: f"{v};{i};;", heading="U [V];I [A];;\n").encode(), id="empty-columns"),
        pytest.param(
            rows(lambda v, i: f"{2 * v:.0f};{v};{i}", heading="No;U [V];I [A]\n").encode(),
            id="a-column-of-numbers",
        ),
        pytest.param(
            ("* * *\n\nrun 7; ok\n" + rows(semicolons) + "\n-- end --\n").encode(), id="junk-around"
        ),
    ],
)
def test_what_people_have_is_read_right(data):
    text = decode(data)
    curve = read_traced(text, propose(text).mapping)
    np.testing.assert_allclose(curve.voltage_V, V, atol=1e-9)
    np.testing.assert_allclose(curve.current_A, I, atol=1e-4)  # milliamperes are written to a tenth


@pytest.mark.parametrize(
    ("data", "says"),
    [
        pytest.param(b"", "no table of numbers", id="empty"),
        pytest.param(b"  \n\n ", "no table of numbers", id="blank"),
        pytest.param(b"U [V];I [A]\n1;2\n", "no table of numbers", id="one-row"),
        pytest.param(b"U [V];I [A]\n1;2\n2;1\n", "2 voltages", id="two-rows"),
        pytest.param(b"U [V];I [A]\n" + b"5;8\n" * 20, "at 1 voltage;", id="one-voltage"),
        pytest.param(b"U [V];I [A]\n" + b"nan;nan\n" * 20, "no table of numbers", id="nothing-but-nan"),
        pytest.param(
            rows(lambda v, i: f"{v};{'NaN' if v == 5 else i}").encode(),
            "line 12 holds no usable",
            id="one-nan",
        ),
        pytest.param(rows(lambda v, i: f"{v} V;{i} A").encode(), "numbers alone", id="units-in-fields"),
        pytest.param(rows(lambda v, i: f"{v}|{i}").encode(), "no table of numbers", id="bars"),
        pytest.param(bytes(range(256)) * 4, "not text", id="binary"),
        pytest.param(rows(semicolons).encode("utf-32"), "not text", id="utf-32"),
        pytest.param(b"U [V];I [A]\n" + b"1;2\n" * 600_000, "more than 2000000 characters", id="huge"),
        pytest.param(
            rows(lambda v, i: f"{-v};{i}").encode(),
            "Check the columns, their units and the sign",
            id="turned-voltage",
        ),
    ],
)
def test_what_cannot_be_read_is_told_in_one_sentence(data, says):
    with pytest.raises(FileError, match=says) as refused:
        key_points(read_traced(decode(data), propose(decode(data)).mapping))
    assert 20 < len(str(refused.value)) < 400
