"""What a page may say to the server: a short list, looked at before anything of it is unpacked.

The protocol below the page can do far more: add models that read files when they are sent back, unpack
arrays that swell a thousandfold, replace the document. A page of ours needs four things: its document, the
sizes of its figures, to say that it is there, and to hand plain values to one of its components.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Any

__all__ = ["ATTRIBUTES", "COMPONENT", "PATCH", "PULL", "Refused", "check_letter"]

COMPONENT = "component"  # what `kind_of` calls a part of the page that is drawn by a script of ours
PULL, PATCH = "PULL-DOC-REQ", "PATCH-DOC"
ATTRIBUTES = frozenset(
    ("Plot", name) for name in ("inner_width", "inner_height", "outer_width", "outer_height")
)
PAGE_EVENTS = ("document_ready", "client_reconnected")  # of the page itself; they carry nothing
COMPONENT_EVENT = "data_event"

MOST_EVENTS = 64  # in one letter; a page that is resized sends twelve
MOST_VALUES = 20_000  # in one letter; a stroke over 5,000 cells has as many
DEEPEST = 12  # values within values
LARGEST_SIZE = 100_000.0  # px
LONGEST_WORD = 100  # characters of an id or a key


class Refused(Exception):
    """A letter says what no page of ours says; the message tells what, in a few words."""


def check_letter(header: Any, content: Any, kind_of: Callable[[str], str | None]) -> None:
    """Look at one message of a page.

    Parameters
    ----------
    header, content : object
        As read from JSON; neither is changed.
    kind_of : callable
        What the model with an id is: COMPONENT, the name of its class, or None for no model of the page.

    Raises
    ------
    Refused
        If it asks for anything else than what is listed here.
    """
    if not isinstance(header, dict) or not set(header) <= {"msgid", "msgtype", "reqid"}:
        raise Refused("its header has parts that no page sends")
    if not _is_word(header.get("msgid")) or not isinstance(header.get("msgtype"), str):
        raise Refused("its header has no name")
    if header["msgtype"] == PULL:
        if content != {}:
            raise Refused("it asks for the document with conditions")
    elif header["msgtype"] == PATCH:
        _check_patch(content, kind_of)
    else:
        raise Refused("its kind is neither a question for the document nor a change")


def _check_patch(content: Any, kind_of: Callable[[str], str | None]) -> None:
    if not isinstance(content, dict) or set(content) != {"events"} or not isinstance(content["events"], list):
        raise Refused("a change without a list of events")
    events = content["events"]
    if not 1 <= len(events) <= MOST_EVENTS:
        raise Refused(f"{len(events)} events at once; a page sends 1 to {MOST_EVENTS}")
    for event in events:
        kind = event.get("kind") if isinstance(event, dict) else None
        if kind == "ModelChanged":
            _check_change(event, kind_of)
        elif kind == "MessageSent":
            _check_message(event, kind_of)
        else:
            raise Refused("an event of a kind that no page sends")


def _check_change(event: dict[str, Any], kind_of: Callable[[str], str | None]) -> None:
    """A property of a model: none but the size that a figure was given on the screen."""
    if set(event) != {"kind", "model", "attr", "new"}:
        raise Refused("a change of a model with odd parts")
    attribute = event["attr"]
    if not isinstance(attribute, str) or (_kind(event["model"], kind_of), attribute) not in ATTRIBUTES:
        raise Refused("a change of a property that pages do not change")
    new = event["new"]
    if new is not None and not (_is_number(new) and abs(new) <= LARGEST_SIZE):
        raise Refused("a size that is none")


def _check_message(event: dict[str, Any], kind_of: Callable[[str], str | None]) -> None:
    """A word to the page or to one of its components."""
    data = event.get("msg_data")
    if set(event) != {"kind", "msg_type", "msg_data"} or event["msg_type"] != "bokeh_event":
        raise Refused("a message that is no event")
    if not isinstance(data, dict) or set(data) != {"type", "name", "values"} or data["type"] != "event":
        raise Refused("an event with odd parts")
    values = _entries(data["values"])
    if data["name"] in PAGE_EVENTS:
        if values:
            raise Refused("an event of the page that carries something")
    elif data["name"] == COMPONENT_EVENT:
        if [key for key, _value in values] != ["model", "data"]:
            raise Refused("an event of a component with odd parts")
        if _kind(values[0][1], kind_of) != COMPONENT:
            raise Refused("an event of something that is no component")
        _check_plain(values[1][1])
    else:
        raise Refused("an event that pages do not send")


def _check_plain(value: Any) -> None:
    """Plain values alone, not too many and not too deep; looked at without recursion."""
    waiting, seen = [(value, 1)], 0
    while waiting:
        one, depth = waiting.pop()
        seen += 1
        if seen + len(waiting) > MOST_VALUES:
            raise Refused(f"more than {MOST_VALUES:,} values in one message")
        if depth > DEEPEST:
            raise Refused(f"values more than {DEEPEST} deep in one another")
        if isinstance(one, list):
            if len(one) > MOST_VALUES:
                raise Refused(f"more than {MOST_VALUES:,} values in one message")
            waiting.extend((part, depth + 1) for part in one)
        elif isinstance(one, dict) and one.get("type") == "map":
            waiting.extend((part, depth + 1) for _key, part in _entries(one))
        elif isinstance(one, dict):
            if (
                set(one) != {"type", "value"}
                or one["type"] != "number"
                or one["value"] not in ("nan", "+inf", "-inf")
            ):
                raise Refused("a value that is not plain")
        elif not (one is None or isinstance(one, str | bool) or _is_number(one)):
            raise Refused("a number that is none")


def _entries(value: Any) -> list[tuple[str, Any]]:
    """The entries of a table as the protocol writes one."""
    if not isinstance(value, dict) or value.get("type") != "map" or not set(value) <= {"type", "entries"}:
        raise Refused("a table that is none")
    entries = value.get("entries", [])
    if not isinstance(entries, list) or len(entries) > MOST_VALUES:
        raise Refused("a table that is none")
    for entry in entries:
        if not isinstance(entry, list) or len(entry) != 2 or not _is_word(entry[0]):
            raise Refused("an entry of a table that is none")
    return [(key, one) for key, one in entries]


def _kind(reference: Any, kind_of: Callable[[str], str | None]) -> str | None:
    if not isinstance(reference, dict) or set(reference) != {"id"} or not _is_word(reference["id"]):
        raise Refused("a model that is not named by its id alone")
    return kind_of(reference["id"])


def _is_word(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= LONGEST_WORD


def _is_number(value: Any) -> bool:
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and abs(value) < 1e300
        and isfinite(value)
    )
