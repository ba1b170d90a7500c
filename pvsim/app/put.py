"""Several parameters set at once."""

from __future__ import annotations

from typing import Any

import param
from param.parameterized import batch_call_watchers

__all__ = ["put"]


def put(target: param.Parameterized, **values: Any) -> None:
    """Set parameters; what watches them is called once for all.

    `target.param.update` does the same, but first reads all other parameters, to be able to put them back.

    Parameters
    ----------
    target : Parameterized
    values
        By name of the parameter.

    Raises
    ------
    ValueError
        If there is no parameter so called.
    """
    for name in values:
        if name not in target.param:
            raise ValueError(f"{type(target).__name__} has no parameter {name!r}")
    with batch_call_watchers(target):
        for name, value in values.items():
            if getattr(target, name) is not value:  # else param would ask each that watches it
                setattr(target, name, value)
