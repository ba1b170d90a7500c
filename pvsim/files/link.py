"""A whole scenario as one word for the page's address."""

from __future__ import annotations

import json
import re
import zlib
from base64 import urlsafe_b64decode, urlsafe_b64encode
from typing import NoReturn

from pvsim.array.scenario import Scenario
from pvsim.errors import FileError
from pvsim.files.document import document_of
from pvsim.files.extent import is_too_much
from pvsim.files.scenario_file import scenario_of
from pvsim.files.source import Source
from pvsim.words import _

MAX_LINK_LENGTH = 6_000  # characters; servers and chat programs cut longer addresses
MAX_UNPACKED_BYTES = 1_000_000  # bounds what a small hostile link can swell to

_VERSION = "1."
_WORD = re.compile(r"[A-Za-z0-9_-]+")
_SOURCE = Source(name="the link")


def pack(scenario: Scenario) -> str:
    """Pack a scenario into letters, digits, dot, minus and underscore.

    Returns
    -------
    str
        The same for equal scenarios, at most MAX_LINK_LENGTH long.

    Raises
    ------
    FileError
        If it would be longer; the scenario then needs a file.
    """
    plain = json.dumps(document_of(scenario), separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    try:
        data = plain.encode("utf-8")
    except UnicodeEncodeError:
        raise FileError(
            _("a text holds half a character"),
            expected=_("texts made of whole Unicode characters"),
            mend=_("Type the title, note or name anew"),
        ) from None
    word = _VERSION + urlsafe_b64encode(zlib.compress(data, 9)).decode("ascii").rstrip("=")
    if len(word) > MAX_LINK_LENGTH:
        raise FileError(
            _("the link would have {count:,} characters").format(count=len(word)),
            expected=_("at most {most:,}, since longer addresses get cut off on their way").format(
                most=MAX_LINK_LENGTH
            ),
            mend=_("Save the scenario as a file and send that instead"),
        )
    return word


def unpack(text: str) -> Scenario:
    """Read back what `pack` wrote.

    Parameters
    ----------
    text : str
        From an address: not trusted, and often cut in half by a mail program.

    Raises
    ------
    FileError
        If it is too long, damaged, cut short, or holds no scenario.
    """
    word = text.strip()
    if len(word) > MAX_LINK_LENGTH:
        raise FileError(
            _("the link has {count:,} characters").format(count=len(word)),
            expected=_("at most {most:,}").format(most=MAX_LINK_LENGTH),
            mend=_("Open the scenario from a file instead"),
        )
    if not word.startswith(_VERSION) and not _VERSION.startswith(word):
        raise FileError(
            _("the link does not start as a pvsim link does"),
            expected=_("“{start}” and then letters and digits").format(start=_VERSION),
            mend=_("Copy the whole address again, or open the scenario from a file"),
        )
    body = word[len(_VERSION) :]
    if not _WORD.fullmatch(body):
        _refuse_damage()
    try:
        data = urlsafe_b64decode(body + "=" * (-len(body) % 4))
        if urlsafe_b64encode(data).decode("ascii").rstrip("=") != body:  # bits that no packing leaves
            _refuse_damage()
        inflate = zlib.decompressobj()
        plain = inflate.decompress(data, MAX_UNPACKED_BYTES)
    except (ValueError, zlib.error):
        _refuse_damage()
    if inflate.unconsumed_tail:
        raise FileError(
            _("the link holds more than {most:,} bytes").format(most=MAX_UNPACKED_BYTES),
            expected=_("a scenario as pvsim packs it"),
            mend=_("Open the scenario from a file instead"),
        )
    if not inflate.eof or inflate.unused_data:
        _refuse_damage()
    return scenario_of(_parse(plain), _SOURCE)


def _parse(plain: bytes) -> dict[str, object]:
    try:
        values = json.loads(plain.decode("utf-8"))
    except (ValueError, RecursionError):
        _refuse_damage()
    if not isinstance(values, dict) or is_too_much(values):
        _refuse_damage()
    return values


def _refuse_damage() -> NoReturn:
    raise FileError(
        _("the link is cut short or damaged"),
        expected=_("the whole address, to its last character"),
        mend=_("Copy it again from where it was made, or open the scenario from a file"),
    ) from None
