"""Plain values on their way to a browser: what a component shows, as one value.

A `param.Dict` would do, were it not slow: at every change param and Bokeh compare such a dict value by
value, and Bokeh writes it value by value, which for the drawing takes three times as long as a text of JSON
does. Values of ours are plain already, so they are written as they stand.
"""

from __future__ import annotations

from typing import Any

import param
from bokeh.core.serialization import Serializer

__all__ = ["Plain", "plain_values"]


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
