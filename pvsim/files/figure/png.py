"""A drawing as a PNG image, for slides and documents that take no SVG."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

import pvsim
from pvsim.errors import FileError
from pvsim.files.face import face_file
from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Palette, Text
from pvsim.files.figure.svg import hatch_strokes

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

_SMOOTH = 3  # lines are drawn this much larger and shrunk, which smooths their edges
MAX_SCALE = 4.0


def write_png(drawing: Drawing, *, scale: float = 2.0) -> bytes:
    """Draw a drawing as PNG.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    scale : float
        Image pixels for each px of the drawing, up to MAX_SCALE.

    Raises
    ------
    FileError
        If Pillow is not installed, or the scale is out of range.
    """
    try:
        from PIL import Image, ImageDraw
        from PIL.PngImagePlugin import PngInfo
    except ImportError:
        raise FileError(
            "PNG figures need the package pillow",
            expected="pillow to be installed",
            mend="Install pvsim with its page: pip install 'pvsim[page]', or export SVG",
        ) from None
    if not 0.5 <= scale <= MAX_SCALE:
        raise FileError(
            f"the scale is {scale!r}",
            expected=f"a number from 0.5 to {MAX_SCALE:g}",
            mend="Choose 2 for print",
        )
    fine = scale * _SMOOTH
    size = (round(drawing.width * scale), round(drawing.height * scale))
    image = Image.new("RGB", (size[0] * _SMOOTH, size[1] * _SMOOTH), drawing.palette["ground"])
    draw = ImageDraw.Draw(image)
    for mark in drawing.marks:
        if not isinstance(mark, Text):
            _shape(draw, mark, fine, drawing.palette)
    image = image.resize(size, Image.Resampling.LANCZOS)
    draw = ImageDraw.Draw(image)
    for mark in drawing.marks:
        if isinstance(mark, Text):
            anchor = {"start": "ls", "middle": "ms", "end": "rs"}[mark.anchor]
            place = (mark.x * scale, mark.y * scale)
            font, fill = _font(mark.size * scale, mark.bold), drawing.palette[mark.role]
            draw.text(place, mark.text, fill=fill, font=font, anchor=anchor)
    about = PngInfo()
    about.add_itxt("Title", drawing.title)
    about.add_itxt("Description", drawing.description)
    about.add_text("Software", f"pvsim {pvsim.__version__}")
    out = BytesIO()
    image.save(out, "PNG", pnginfo=about, dpi=(96 * scale, 96 * scale))
    return out.getvalue()


def _shape(draw: Any, mark: Line | Dot | Box, fine: float, palette: Palette) -> None:
    if isinstance(mark, Line):
        points = [(x * fine, y * fine) for x, y in mark.points]
        for piece in _dashes(points, [length * fine for length in mark.dash]):
            draw.line(piece, fill=palette[mark.role], width=max(1, round(mark.width * fine)), joint="curve")
    elif isinstance(mark, Dot):
        colours = (palette["ground"], palette[mark.role])
        rim, within = reversed(colours) if mark.hollow else colours
        if mark.shape == "diamond":
            corners = [(x * fine, y * fine) for x, y in mark.corners]
            draw.polygon(corners, fill=within)
            draw.line([*corners, *corners[:2]], fill=rim, width=round(1.5 * fine), joint="curve")
            return
        for radius, colour in ((mark.radius + 0.75, rim), (mark.radius - 0.75, within)):
            corner, far = (mark.x - radius, mark.y - radius), (mark.x + radius, mark.y + radius)
            draw.ellipse([(a * fine, b * fine) for a, b in (corner, far)], fill=colour)
    else:
        ends = [(mark.x * fine, mark.y * fine), ((mark.x + mark.width) * fine, (mark.y + mark.height) * fine)]
        fill = mark.fill or palette[mark.role]
        draw.rectangle(ends, fill=fill, outline=palette.get(mark.rim), width=round(fine))
        for a, b, c, d in hatch_strokes(mark) if mark.hatch else ():
            stroke = [(a * fine, b * fine), (c * fine, d * fine)]
            draw.line(stroke, fill=palette[mark.hatch], width=round(0.8 * fine))


def _dashes(points: list[tuple[float, float]], dash: list[float]) -> list[list[tuple[float, float]]]:
    """Cut a polyline into its dashes; the whole line when it has none."""
    if not dash:
        return [points]
    pieces: list[list[tuple[float, float]]] = []
    drawn, left, turn = True, dash[0], 0
    piece = [points[0]]
    for end in points[1:]:
        start = piece[-1]
        length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
        while length > left:
            share = left / length
            start = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            if drawn:
                pieces.append([*piece, start])
            length -= left
            turn, drawn, piece = turn + 1, not drawn, [start]
            left = dash[turn % len(dash)]
        left -= length
        piece.append(end)
    return [*pieces, piece] if drawn and len(piece) > 1 else pieces


def _font(size: float, bold: bool) -> FreeTypeFont:
    from PIL import ImageFont

    # Letter by letter: the other way is not in every Pillow, and gives up at a line separator in a title.
    return ImageFont.truetype(face_file(bold=bold), size, layout_engine=ImageFont.Layout.BASIC)
