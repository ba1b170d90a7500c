"""Values that draw themselves in a notebook, without a drawing method on any of them.

`register` tells IPython which function draws which class, by the class's name, so that
nothing of the layers is imported before a value is shown.
"""

from __future__ import annotations

import sys
from typing import Any

__all__ = ["register"]


def register() -> None:
    """Register the drawings with the running IPython, if there is one."""
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython is not None else None
    if shell is None:
        return
    formatters = shell.display_formatter.formatters
    for module, name, draw in _DRAWINGS:
        formatters["text/html"].for_type_by_name(module, name, draw)


def _characteristic(value: Any) -> str:
    from pvsim.files.figure import draw_figure, figure_of
    from pvsim.files.svg import write_svg

    return write_svg(draw_figure(figure_of(value)))


_DRAWINGS = ()
