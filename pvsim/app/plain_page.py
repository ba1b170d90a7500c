"""The HTML of plain pages: those without a session of Bokeh's."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader

from pvsim.app.assets import fingerprint

__all__ = ["plain_page"]


def plain_page(template: str, **values: Any) -> str:
    """A page.

    Parameters
    ----------
    template : str
        Its file in templates/.
    values
        What it shows; all of it is escaped.
    """
    return _templates().get_template(template).render(mark=fingerprint(), **values)


@cache
def _templates() -> Environment:
    """The templates, compiled once."""
    return Environment(loader=FileSystemLoader(Path(__file__).with_name("templates")), autoescape=True)
