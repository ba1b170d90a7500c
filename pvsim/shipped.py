"""Folders that come with pvsim: lessons, scenarios, sheets, studies, curves, and its page's static files.

In a checkout the lessons and the static files lie beside the package, where whoever writes or draws looks
for them; in an installed pvsim they lie in it. A checkout's own come first: what an editable installation
has copied elsewhere grows old there.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

__all__ = ["shipped"]

PACKAGE = Path(__file__).parent


@cache
def shipped(name: str) -> Path:
    """Where a folder is that comes with pvsim.

    Parameters
    ----------
    name : str
        "lessons", "static", "scenarios", "sheets", "studies" or "curves".
    """
    return find_shipped(name, PACKAGE)


def find_shipped(name: str, package: Path) -> Path:
    """The same for a package that lies anywhere.

    Parameters
    ----------
    name : str
    package : Path
        The folder of the package.
    """
    checkout = package.parent
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    return package / name
