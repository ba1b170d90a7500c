"""A drawing as an SVG text that stands alone."""

from __future__ import annotations

from html import escape

from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Mark, Palette, Text

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
    ground = drawing.palette["ground"]
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" role="img" font-family="{_FONT}">',
        f"<title>{clean(drawing.title)}</title>",
        f"<desc>{clean(drawing.description)}</desc>",
        f'<rect width="{width}" height="{height}" fill="{ground}"/>',
    ]
    parts += [_mark(mark, drawing.palette) for mark in drawing.marks]
    return "\n".join([*parts, "</svg>"]) + "\n"


def clean(text: str) -> str:
    """Escape a text for XML and leave out the characters XML cannot hold."""
    return escape("".join(c if _is_xml(ord(c)) else " " for c in text), quote=True)


def _is_xml(code: int) -> bool:
    """Whether XML 1.0, section 2.2, allows a character and it does not turn the writing direction."""
    if 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069:
        return False
    return code in (9, 10, 13) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def write_inline_svg(drawing: Drawing) -> str:
    """Write a drawing as an element of a page, whose style sheet knows each role by its class.

    Returns
    -------
    str
        An <svg class="figure"> element with role and label.
    """
    size = f"{_n(drawing.width)} {_n(drawing.height)}"
    label = clean(drawing.description)
    marks = "".join(_styled(mark) for mark in drawing.marks)
    return f'<svg class="figure" viewBox="0 0 {size}" role="img" aria-label="{label}">{marks}</svg>'


def _mark(mark: Mark, palette: Palette) -> str:
    """A mark with its colours."""
    if isinstance(mark, Line):
        return (
            f'<polyline points="{_points(mark)}" fill="none" stroke="{palette[mark.role]}" '
            f'stroke-width="{_n(mark.width)}" stroke-linejoin="round"{_dash(mark)}/>'
        )
    if isinstance(mark, Dot):
        ground, ink = palette["ground"], palette[mark.role]
        fill, stroke = (ground, ink) if mark.hollow else (ink, ground)
        if mark.shape == "diamond":
            return f'<polygon {_corners(mark)} fill="{fill}" stroke="{stroke}" stroke-width="1.5"/>'
        return f'<circle {_place(mark)} fill="{fill}" stroke="{stroke}" stroke-width="1.5"/>'
    if isinstance(mark, Box):
        return _box(mark, palette)
    weight = ' font-weight="600"' if mark.bold else ""
    return (
        f'<text x="{_n(mark.x)}" y="{_n(mark.y)}" font-size="{_n(mark.size)}" '
        f'fill="{palette[mark.role]}"{_anchor(mark)}{weight}>{clean(mark.text)}</text>'
    )


def _box(box: Box, palette: Palette) -> str:
    rim = f' stroke="{palette[box.rim]}" stroke-width="1"' if box.rim else ""
    text = f'<rect {_sides(box)} fill="{box.fill or palette[box.role]}"{rim}/>'
    if box.hatch:
        text += f'<path d="{_strokes(box)}" stroke="{palette[box.hatch]}" stroke-width="0.8"/>'
    return text


def _styled(mark: Mark) -> str:
    """A mark with a class in place of colours, dashes, and sizes that follow the type of the page."""
    if isinstance(mark, Line):
        return f'<polyline class="{mark.role}{" dashed" if mark.dash else ""}" points="{_points(mark)}"/>'
    if isinstance(mark, Dot):
        name = f'class="{mark.role}{" hollow" if mark.hollow else ""}"'
        if mark.shape == "diamond":
            return f"<polygon {name} {_corners(mark)}/>"
        return f"<circle {name} {_place(mark)}/>"
    if isinstance(mark, Box):
        hatched = f'<path class="{mark.hatch}" d="{_strokes(mark)}"/>' if mark.hatch else ""
        return f'<rect class="{mark.role}" {_sides(mark)}/>{hatched}'
    name = f"{mark.role} strong" if mark.bold else mark.role
    at = f'x="{_n(mark.x)}" y="{_n(mark.y)}"'
    return f'<text class="{name}" {at}{_anchor(mark)}>{clean(mark.text)}</text>'


def _points(line: Line) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in line.points)


def _dash(line: Line) -> str:
    return f' stroke-dasharray="{" ".join(map(_n, line.dash))}"' if line.dash else ""


def _corners(dot: Dot) -> str:
    return f'points="{" ".join(f"{_n(x)},{_n(y)}" for x, y in dot.corners)}"'


def _strokes(box: Box) -> str:
    return "".join(f"M{_n(a)} {_n(b)}L{_n(c)} {_n(d)}" for a, b, c, d in hatch_strokes(box))


def _place(dot: Dot) -> str:
    return f'cx="{_n(dot.x)}" cy="{_n(dot.y)}" r="{_n(dot.radius)}"'


def _sides(box: Box) -> str:
    return f'x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.width)}" height="{_n(box.height)}"'


def _anchor(text: Text) -> str:
    return "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'


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
