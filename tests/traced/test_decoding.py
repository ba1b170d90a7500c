"""Files of tracers are read in the codes that programs write them in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import FileError
from pvsim.files.source import MAX_BYTES
from pvsim.traced.columns import propose
from pvsim.traced.decoding import decode

TEXT = "Zelltemperatur (°C);45,3\nU [V];I [A];G [W/m²]\n" + "".join(f"{k};8,{9 - k};900\n" for k in range(9))


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_table_is_the_same_in_every_code(code):
    found = propose(decode(TEXT.encode(code))).mapping
    assert decode(TEXT.encode(code)) == TEXT
    assert found.irradiance.unit == "W/m2"
    assert found.temperature_C == 45.3


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"a" * (MAX_BYTES + 1), "bytes"),
        (b"\xff\xfea", "not text"),
        (b"\x81\x8d;1", "not text"),
    ],
)
def test_what_is_no_text_is_refused(data, says):
    with pytest.raises(FileError, match=says):
        decode(data)


@given(data=st.binary(max_size=300))
def test_any_bytes_give_text_or_one_sentence(data):
    try:
        propose(decode(data))
    except FileError as error:
        assert 20 < len(str(error)) < 1_000
