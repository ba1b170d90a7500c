"""What is written and marked in a drawing as boxes: which of them lie on one another, or leave the sheet."""

from __future__ import annotations

from functools import cache
from itertools import combinations

from PIL import ImageFont

from pvsim.files.face import face_file
from pvsim.files.figure.drawing import Dot, Drawing, Line, Text
from pvsim.files.figure.placer import Box

# Of the shipped face: how far its letters reach above and below the line they stand on, in sizes of its type.
ABOVE, BELOW = 0.70, 0.2
LEADER_px = 0.75  # how thick the thin lines from labels to their points are, and nothing else


@cache
def face(bold: bool) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(face_file(bold=bold), 1000, layout_engine=ImageFont.Layout.BASIC)


def box_of(mark: Text | Dot) -> Box:
    """The letters of a text as they are set, or a dot with its rim."""
    if isinstance(mark, Dot):
        size = mark.radius + 0.75
        return Box(x=mark.x - size, y=mark.y - size, width=2 * size, height=2 * size)
    width = face(mark.bold).getlength(mark.text) * mark.size / 1000
    left = mark.x - {"start": 0.0, "middle": width / 2, "end": width}[mark.anchor]
    top = mark.y - ABOVE * mark.size
    return Box(x=left, y=top, width=width, height=(ABOVE + BELOW) * mark.size)


def faults(drawing: Drawing) -> list[str]:
    """Every text that lies on another one or on a point, or that leaves the sheet."""
    texts = [
        (mark, box_of(mark)) for mark in drawing.marks if isinstance(mark, Text) and mark.text.strip()
    ]
    dots = [box_of(mark) for mark in drawing.marks if isinstance(mark, Dot)]
    found = [
        f"{a.text!r} lies on {b.text!r}"
        for (a, here), (b, there) in combinations(texts, 2)
        if here.meets(there)
    ]
    for text, box in texts:
        if any(box.meets(dot) for dot in dots):
            found.append(f"{text.text!r} lies on a point")
        if box.x < 0 or box.x + box.width > drawing.width or box.y < 0 or box.y + box.height > drawing.height:
            found.append(f"{text.text!r} leaves the sheet")
    return found


def short_leaders(drawing: Drawing) -> list[str]:
    """Every thin line that ends short of the words it comes from."""
    bold = [mark for mark in drawing.marks if isinstance(mark, Text) and mark.bold]
    words = [box_of(mark).grown(0.5 * mark.size) for mark in bold]
    leaders = [mark for mark in drawing.marks if isinstance(mark, Line) and mark.width == LEADER_px]
    ends = [one.points[-1] for one in leaders]
    return [
        f"a line ends at {x:.0f}, {y:.0f}"
        for x, y in ends
        if not any(box.x <= x <= box.x + box.width and box.y <= y <= box.y + box.height for box in words)
    ]
