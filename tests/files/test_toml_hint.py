"""A line that TOML does not allow is answered with what to do about that very line."""

from __future__ import annotations

import pytest

from pvsim.errors import FileError
from pvsim.files.source import Source, parse_toml

CASES = {
    "x_V = 1000,0": "Write decimals with a point",
    "x_V = 1,000.0": "without marks between thousands",
    "a = [{ x = 8,5 }]": "Write decimals with a point",
    "x_V = 1000,": "Take the comma at the end of the line out",
    "x_V = .5": "Write a digit before the point",
    "x_V = 5.": "Write a digit behind the point",
    "x_V = 0900": "Take the zero out",
    "x_V = 90 %": "Write the number alone",
    "x_V = 900 W": "Write the number alone",
    "x_V = \u2212900": "Write the minus as -",
    "x_V =": "Write a value behind the equals sign",
    "x_V : 900": "Write an equals sign",
    "x V = 900": "Write a key as one word",
    "fuse = False": "Write true or false in small letters",
    "title = Shed": "Put it between quotes",
    "title = \u201cShed\u201d": "Write straight quotes",
    "[light": "Close the table's name with ]",
    "a = [{ b = 1 c = 2 }]": "Put a comma between entries",
    "x = 1\nx = 2": "Take one of the two out",
    "[a]\n[a]": "Take one of the two out",
}


@pytest.mark.parametrize(("line", "mend"), CASES.items(), ids=CASES)
def test_the_mend_fits_the_slip(line: str, mend: str) -> None:
    with pytest.raises(FileError) as caught:
        parse_toml(Source(name="shed.toml", text=f"format = 1\n{line}\nnote = 'x'\n"))
    assert mend in caught.value.mend
    assert str(caught.value).startswith("shed.toml, line ")
