"""Plain values on their way to a browser: what a component shows, as one value.

A `param.Dict` would do, were it not slow: at every change param and Bokeh compare such a dict value by
value, and Bokeh writes it value by value, which for the drawing takes three times as long as a text of JSON
does. Values of ours are plain already, so they are written as they stand.
"""

from __future__ import annotations

from typing import Any

import param
from bokeh.core.serialization import Serializer

__all__ = ["Keyed", "Plain", "plain_values"]


class Plain:
    """Dicts with words for keys, lists, strings, finite numbers, booleans and None, and nothing else.

    No dict among them has a `type` or an `id`: with these a browser would take it for a part of the page.

    Parameters
    ----------
    values : dict
        Not to be changed afterwards.
    """

    __slots__ = ("values",)
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Plain) and self.values == other.values


class Keyed(Plain):
    """Plain values among whose dicts some may have a `type` or an `id`, as BokehJS reads them.

    Parameters
    ----------
    values : dict
        Not to be changed afterwards.
    """

    __slots__ = ()


def _kept_apart(value: Any) -> Any:
    """The same, with each dict that a browser would take for a part of the page as a map of its entries."""
    if isinstance(value, str):  # as most are
        return value
    if isinstance(value, dict):
        found = {key: _kept_apart(one) for key, one in value.items()}
        if "type" in found or "id" in found:
            return {"type": "map", "entries": [[key, one] for key, one in found.items()]}
        return found
    return [_kept_apart(one) for one in value] if isinstance(value, (list, tuple)) else value


def plain_values(doc: str) -> Any:
    """A parameter of a component that holds plain values; its script finds them as an object.

    Parameters
    ----------
    doc : str
        What it holds.
    """
    return param.ClassSelector(class_=Plain, default=NOTHING, instantiate=False, doc=doc)


NOTHING = Plain({})
Serializer.register(Plain, lambda plain, _serializer: plain.values)
Serializer.register(Keyed, lambda keyed, _serializer: _kept_apart(keyed.values))
