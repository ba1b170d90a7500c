"""pvsim: an interactive bench for teaching photovoltaic cells, substrings and bypass diodes.

Layers, each importing only those named before it: `pvsim.circuit`, `pvsim.array`, `pvsim.reading`,
`pvsim.files`, `pvsim.course`, `pvsim.study`, `pvsim.app`. This package itself imports none of them.
"""

from __future__ import annotations

__version__ = "0.1.0"
__all__ = ["__version__"]
