"""A document as one HTML file that stands alone, without scripts, and prints on A4."""

from __future__ import annotations

from html import escape

from pvsim.exercise.given import LETTERS
from pvsim.exercise.paper.document import (
    Block,
    Caution,
    Document,
    Grid,
    Heading,
    Options,
    Picture,
    Prose,
    Writing,
)
from pvsim.exercise.wording import as_html
from pvsim.files.face import FACE, face_css
from pvsim.files.figure.svg import write_svg
from pvsim.words import _, speaking

__all__ = ["write_html"]

_STYLE = """
@page { size: A4; margin: 13mm 15mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; font: 10.5pt/1.4 "FACE", system-ui, sans-serif;
  text-rendering: geometricPrecision; }
body { max-width: 180mm; margin: 0 auto; padding: 6mm 4mm; }
h1 { font-size: 17pt; line-height: 1.2; margin: 0 0 3mm; }
.kind { margin: 0; color: #4a4a4a; }
h2 { font-size: 13pt; margin: 6mm 0 2mm; display: flex; align-items: baseline;
  justify-content: space-between; gap: 1em; }
h2 span, h3 span { font-weight: 400; color: #4a4a4a; font-size: 10pt; }
h3 { font-size: 11pt; margin: 4mm 0 1.5mm; }
h2, h3, caption { break-after: avoid; }
p, ul, ol { margin: 0 0 2mm; orphans: 2; widows: 2; }
.fields { display: flex; gap: 6mm; margin: 0 0 4mm; }
.fields p { flex: 1; border-bottom: 0.3mm solid #000; padding-bottom: 0.5mm; min-height: 7mm; }
.fields b { font-weight: 400; color: #4a4a4a; margin-right: 2mm; }
.part + .part { break-before: page; }
.together, figure, table, .caution { break-inside: avoid; }
figure { margin: 3mm 0; }
figure svg { width: 100%; height: auto; display: block; font-family: "FACE", system-ui, sans-serif; }
figcaption, .small, .notes { font-size: 8.5pt; line-height: 1.35; color: #333; }
figcaption { margin-top: 1.5mm; }
table { width: 100%; border-collapse: collapse; margin: 3mm 0; table-layout: fixed; }
caption { text-align: left; font-weight: 700; padding-bottom: 1mm; }
th, td { border: 0.2mm solid #777; padding: 1mm 1.5mm; text-align: left;
  vertical-align: top; height: 7mm; overflow-wrap: anywhere; }
th { font-weight: 700; background: #f0f0f0; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.number { text-align: right; }
.caution { border: 0.5mm solid #000; padding: 1.5mm 2.5mm; margin: 2.5mm 0; font-weight: 700; }
.short { display: flex; align-items: flex-end; gap: 2mm; margin: 2mm 0 3mm; }
.short i { flex: 0 0 60mm; border-bottom: 0.3mm solid #000; height: 8mm; }
.line { border-bottom: 0.2mm solid #777; height: 7.5mm; }
.options { list-style: none; padding: 0; }
.options li { display: flex; gap: 2.5mm; margin-bottom: 1.5mm; }
.options .box { flex: none; width: 4mm; height: 4mm; border: 0.3mm solid #000;
  margin-top: 0.6mm; line-height: 3.6mm; text-align: center; }
.options .right { font-weight: 700; }
sub { line-height: 0; }
.notes { margin-top: 6mm; border-top: 0.2mm solid #777; padding-top: 2mm; }
.notes p { margin: 0 0 1mm; }
@media print {
  body { padding: 0; } .part:first-child h2 { margin-top: 0; } figure svg { width: 90%; }
  figure, table { margin: 1.5mm 0; } h3 { margin-top: 2.5mm; } .short { margin: 1mm 0 2mm; }
  .notes { margin-top: 2mm; padding-top: 1mm; line-height: 1.2; break-inside: avoid; } .notes p { margin: 0; }
}
@media (max-width: 30em) { .fields { flex-direction: column; gap: 2mm; } .short i { flex: 1; } }
"""


def write_html(document: Document) -> str:
    """Write a document.

    Returns
    -------
    str
        HTML with its styles, drawings and typeface within it, and no reference to anything outside.
    """
    with speaking(document.language):
        fields = "".join(f"<p><b>{escape(name)}</b>{escape(value)}</p>" for name, value in document.fields)
        parts = "".join(
            f'<section class="part">{"".join(map(_block, one))}</section>\n' for one in document.parts
        )
    notes = "".join(f"<p>{escape(one)}</p>" for one in document.notes)
    style = face_css() + _STYLE.replace("FACE", FACE)
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(document.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(document.kind)}: {escape(document.title)}</title>\n"
        f"<style>\n{style}</style>\n</head>\n"
        f'<body>\n<header><p class="kind">{escape(document.kind)}</p><h1>{escape(document.title)}</h1>'
        f'<div class="fields">{fields}</div></header>\n<main>\n{parts}</main>\n'
        f'<footer class="notes">{notes}</footer>\n</body>\n</html>\n'
    )


def _block(block: Block) -> str:
    if isinstance(block, Heading):
        beside = f"<span>{escape(block.beside)}</span>" if block.beside else ""
        return f"<h{block.level}>{escape(block.text)}{beside}</h{block.level}>"
    if isinstance(block, Prose):
        text = as_html(block.text)
        return f'<div class="small">{text}</div>' if block.small else text
    if isinstance(block, Caution):
        return f'<p class="caution">{escape(block.text)}</p>'
    if isinstance(block, Picture):
        return f"<figure>{write_svg(block.drawing)}<figcaption>{escape(block.caption)}</figcaption></figure>"
    if isinstance(block, Writing):
        return _writing(block)
    if isinstance(block, Options):
        return _options(block)
    if isinstance(block, Grid):
        return _grid(block)
    return f'<div class="together">{"".join(map(_block, block.blocks))}</div>'


def _writing(block: Writing) -> str:
    if not block.lines:
        unit = f"<span>{escape(block.unit)}</span>" if block.unit else ""
        return f'<div class="short"><span>{escape(block.label)}</span><i></i>{unit}</div>'
    return f"<h3>{escape(block.label)}</h3>" + '<div class="line"></div>' * block.lines


def _options(block: Options) -> str:
    rows = []
    for at, (letter, text) in enumerate(zip(LETTERS, block.texts, strict=False)):
        right = at == block.right
        name, cross = (' class="right"', "×") if right else ("", "")
        told = f' role="img" aria-label="{escape(_("right"))}"' if right else ""
        rows.append(
            f'<li{name}><span class="box"{told}>{cross}</span><span>{letter}</span>'
            f"<div>{_inline(text)}</div></li>"
        )
    return f'<ul class="options">{"".join(rows)}</ul>'


def _grid(block: Grid) -> str:
    widths = "".join(f'<col style="width: {100 * one:.1f}%">' for one in block.shares)
    first = len(block.columns) - block.numbers

    def look(at: int) -> str:
        return ' class="number"' if at >= first else ""

    head = "".join(f'<th scope="col"{look(at)}>{escape(one)}</th>' for at, one in enumerate(block.columns))
    rows = "".join(
        "<tr>" + "".join(f"<td{look(at)}>{_inline(one)}</td>" for at, one in enumerate(row)) + "</tr>"
        for row in block.rows
    )
    return (
        f"<table><caption>{escape(block.caption)}</caption><colgroup>{widths}</colgroup>"
        f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    )


def _inline(text: str) -> str:
    """Markdown of one paragraph without its tag."""
    found = as_html(text)
    alone = found.startswith("<p>") and found.endswith("</p>") and found.count("<p>") == 1
    return found[3:-4] if alone else found
