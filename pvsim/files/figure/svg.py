"""A drawing as an SVG text that stands alone."""

from __future__ import annotations

from html import escape

from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Mark

_FONT = "'Atkinson Hyperlegible Next', system-ui, 'Segoe UI', Helvetica, Arial, sans-serif"
_HATCH_STEP = 5.0


def write_svg(drawing: Drawing) -> str:
    """Write a drawing as SVG; texts from files are escaped.

    Returns
    -------
    str
        An <svg> element with role, title and description, and no reference to anything outside it.
    """
    width, height = _n(drawing.width), _n(drawing.height)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" role="img" font-family="{_FONT}">',
        f"<title>{clean(drawing.title)}</title>",
        f"<desc>{clean(drawing.description)}</desc>",
        f'<rect width="{width}" height="{height}" fill="{drawing.ground}"/>',
    ]
    parts += [_mark(mark, drawing.ground) for mark in drawing.marks]
    return "\n".join([*parts, "</svg>"]) + "\n"


def clean(text: str) -> str:
    """Escape a text for XML and leave out the characters XML cannot hold."""
    return escape("".join(c if _is_xml(ord(c)) else " " for c in text), quote=True)


def _is_xml(code: int) -> bool:
    """Whether XML 1.0, section 2.2, allows a character and it does not turn the writing direction."""
    if 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069:
        return False
    return code in (9, 10, 13) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def _mark(mark: Mark, ground: str) -> str:
    if isinstance(mark, Line):
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in mark.points)
        dash = f' stroke-dasharray="{" ".join(map(_n, mark.dash))}"' if mark.dash else ""
        return (
            f'<polyline points="{points}" fill="none" stroke="{mark.colour}" '
            f'stroke-width="{_n(mark.width)}" stroke-linejoin="round"{dash}/>'
        )
    if isinstance(mark, Dot):
        return (
            f'<circle cx="{_n(mark.x)}" cy="{_n(mark.y)}" r="{_n(mark.radius)}" '
            f'fill="{mark.colour}" stroke="{ground}" stroke-width="1.5"/>'
        )
    if isinstance(mark, Box):
        return _box(mark)
    weight = ' font-weight="600"' if mark.bold else ""
    anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
    return (
        f'<text x="{_n(mark.x)}" y="{_n(mark.y)}" font-size="{_n(mark.size)}" '
        f'fill="{mark.colour}"{anchor}{weight}>{clean(mark.text)}</text>'
    )


def _box(box: Box) -> str:
    rim = f' stroke="{box.rim}" stroke-width="1"' if box.rim else ""
    text = (
        f'<rect x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.width)}" height="{_n(box.height)}" '
        f'fill="{box.fill}"{rim}/>'
    )
    if box.hatch:
        path = "".join(f"M{_n(a)} {_n(b)}L{_n(c)} {_n(d)}" for a, b, c, d in hatch_strokes(box))
        text += f'<path d="{path}" stroke="{box.hatch}" stroke-width="0.8"/>'
    return text


def hatch_strokes(box: Box) -> list[tuple[float, float, float, float]]:
    """Ends of the diagonal strokes that fill a box, each x, y, x, y."""
    strokes = []
    offset = _HATCH_STEP
    while offset < box.width + box.height:
        start = max(0.0, offset - box.height)
        end = min(offset, box.width)
        strokes.append((box.x + start, box.y + offset - start, box.x + end, box.y + offset - end))
        offset += _HATCH_STEP
    return strokes


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
