"""What values say of themselves at a prompt, and how they draw themselves in a notebook.

A class takes either by one line in its body: `__repr__ = summary`, `_repr_svg_ = drawn`.
"""

from __future__ import annotations

import importlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import MISSING, Field, fields
from typing import Any

MOST_SIGNS = 400
_LONGEST_PART = 100
_FEW = 3


def summary(value: Any) -> str:
    """Write a frozen value in a line or a few, whatever its size.

    Parameters
    ----------
    value : dataclass
        Any.

    Returns
    -------
    str
        `<Name: field=..., ...>` with the fields that differ from their defaults: arrays by
        their ends, least and most, rows by their length. At most MOST_SIGNS long.
    """
    head = type(value).__name__
    parts: list[str] = []
    room = MOST_SIGNS - len(head) - len("<: , ...>")
    for field in fields(value):
        found = getattr(value, field.name)
        if not field.repr or _is_default(field, found):
            continue
        part = f"{field.name}={_part(found)}"
        room -= len(part) + 2
        if room < 0:
            parts.append("...")
            break
        parts.append(part)
    return f"<{head}: {', '.join(parts)}>" if parts else f"<{head}>"


def drawn(value: Any) -> str:
    """What a notebook shows of a value, as SVG or HTML.

    A value carries no drawing: it knows no file and no figure, and pvsim.notebook, which does, is
    loaded when the first one is shown. This is the only way up.
    """
    text: str = importlib.import_module("pvsim.notebook").draw(value)
    return text


def _is_default(field: Field[Any], found: object) -> bool:
    if field.default is not MISSING:
        return found is field.default or (type(found) is type(field.default) and found == field.default)
    return field.default_factory is not MISSING and bool(found == field.default_factory())


def _part(found: Any) -> str:
    if isinstance(found, float):
        return f"{found:.6g}"
    if isinstance(found, str):
        return repr(found if len(found) <= _LONGEST_PART else found[: _LONGEST_PART - 3] + "...")
    if hasattr(found, "dtype"):
        return _array(found)
    if isinstance(found, (tuple, list, dict)):
        return _row(found)
    text = repr(found)
    return text if len(text) <= _LONGEST_PART else f"<{type(found).__name__}>"


def _array(found: Any) -> str:
    shape = " x ".join(map(str, found.shape))
    if found.size <= _FEW:
        return str(found.tolist()) if found.dtype.kind != "f" else f"[{', '.join(map(_part, found.flat))}]"
    if found.dtype.kind == "b":
        return f"({int(found.sum())} of {shape} true)"
    least, most = found.min(), found.max()
    return f"({shape} times {least:.6g})" if least == most else f"({shape} from {least:.6g} to {most:.6g})"


def _row(found: Sequence[Any] | dict[Any, Any]) -> str:
    if len(found) <= _FEW:
        text = repr(found)
        if len(text) <= _LONGEST_PART:
            return text
    kinds = Counter(type(one).__name__ for one in found)
    return f"({', '.join(f'{count} {kind}' for kind, count in kinds.items())})"
