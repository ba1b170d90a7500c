"""What stands in a document, and on the pages of a PDF, without asking pvsim's writers."""

from __future__ import annotations

import re
import zlib

from pvsim.exercise.paper.document import Caution, Grid, Heading, Options, Picture, Prose, Together, Writing

ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


def flat(document):
    """All blocks of a document, those that belong together one by one."""

    def within(blocks):
        for block in blocks:
            if isinstance(block, Together):
                yield from within(block.blocks)
            else:
                yield block

    return [block for part in document.parts for block in within(part)]


def texts(document):
    """Every text that is written in a document, beside its pictures."""
    found = []
    for block in flat(document):
        if isinstance(block, Prose | Caution | Heading):
            found.append(block.text)
        elif isinstance(block, Options):
            found += block.texts
        elif isinstance(block, Writing):
            found.append(block.label)
        elif isinstance(block, Picture):
            found += [block.caption, block.drawing.description]
        elif isinstance(block, Grid):
            found += [block.caption, *block.columns, *(cell for row in block.rows for cell in row)]
    return found


def pages_of(pdf):
    """The text of each page, read as a reader of PDF reads it: glyphs through the font's ToUnicode map.

    ISO 32000-1, 9.10.2: what a reader selects and copies is what this map says of the codes shown.
    """
    objects = {
        int(number): body for number, body in re.findall(rb"(\d+) 0 obj\n(.*?)\nendobj", pdf, re.DOTALL)
    }
    fonts = {}
    for body in objects.values():
        for name, number in re.findall(rb"/(F\d+) (\d+) 0 R", body):
            unicode = re.search(rb"/ToUnicode (\d+) 0 R", objects[int(number)])
            if unicode:
                fonts[name] = _map_of(_stream(objects[int(unicode[1])]))
    pages = [body for body in objects.values() if re.search(rb"/Type /Page\b", body)]
    found = []
    for page in pages:
        content = _stream(objects[int(re.search(rb"/Contents (\d+) 0 R", page)[1])])
        found.append(_shown(content, fonts))
    return found


def _stream(body):
    data = re.search(rb"stream\n(.*)\nendstream", body, re.DOTALL)[1]
    return zlib.decompress(data) if b"/FlateDecode" in body else data


def _map_of(stream):
    codes = {}
    for first, last, start in re.findall(rb"<(\w{4})> <(\w{4})> <(\w+)>", stream):
        low, high = int(first, 16), int(last, 16)
        for code in range(low, high + 1):
            codes[code] = chr(int(start, 16) + code - low)
    for code, text in re.findall(rb"^<(\w{4})> <(\w+)>$", stream, re.MULTILINE):
        codes[int(code, 16)] = bytes.fromhex(text.decode()).decode("utf-16-be")
    return codes


def _shown(content, fonts):
    words, font = [], {}
    pattern = rb"/(F\d+) [\d.]+ Tf|\(((?:[^()\\]|\\.)*)\)\s*Tj|<(\w+)>\s*Tj"
    for name, literal, digits in re.findall(pattern, content, re.DOTALL):
        if name:
            font = fonts.get(name, {})
            continue
        data = (
            bytes.fromhex(digits.decode())
            if digits
            else re.sub(rb"\\(.)", lambda one: ESCAPES.get(one[1], one[1]), literal, flags=re.DOTALL)
        )
        codes = [int.from_bytes(data[at : at + 2], "big") for at in range(0, len(data), 2)]
        words.append("".join(font.get(code, "\ufffd") for code in codes))
    return "\n".join(words)
