"""The typeface of paper and PNG: two files with every sign pvsim writes (static/fonts/CHANGES.md)."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from pathlib import Path

from pvsim.shipped import shipped

__all__ = ["FACE", "face_css", "face_file"]

FACE = "pvsim Paper"


def face_file(*, bold: bool = False) -> Path:
    """Where the regular or the bold one lies."""
    return shipped("static") / "fonts" / ("paper-bold.woff" if bold else "paper-regular.woff")


@cache
def face_css() -> str:
    """Both within a style sheet, so that a file stands alone."""
    rules = []
    for bold, weight in ((False, 400), (True, 700)):
        data = b64encode(face_file(bold=bold).read_bytes()).decode("ascii")
        rules.append(
            f'@font-face {{ font-family: "{FACE}"; font-weight: {weight}; '
            f'src: url("data:font/woff;base64,{data}") format("woff"); }}'
        )
    return "\n".join(rules)
