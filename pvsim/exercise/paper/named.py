"""What texts of a sheet call by number within a module, and which module that is.

A text says "cell 14 of module 3 in string 2", and whoever reads it on paper has nothing to press: the drawing
has to have these numbers. Strings and modules have theirs wherever they are drawn; cells, substrings and
diodes have them where the module is drawn large.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from pvsim.array.index import array_index, module_range
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.errors import ScenarioError
from pvsim.exercise.paper.scene import Scene, part_shown
from pvsim.words import _

__all__ = ["large_module", "numbers_in"]


def large_module(scene: Scene, drawn: Scenario, texts: Sequence[str]) -> Place | None:
    """The module that is drawn large.

    Parameters
    ----------
    scene : Scene
    drawn : Scenario
        The one of its two that is drawn.
    texts : sequence of str
        All that stands beside the drawing, in the language spoken now.

    Returns
    -------
    Place or None
        The module whose axes are drawn; else, where cells, substrings or diodes have numbers in the texts,
        the one that is named with them; None where nothing within a module is spoken of.
    """
    shown = part_shown(scene)
    if shown.module is not None:
        return shown if _is_there(drawn, shown) else None
    words = (_("cell"), _("substring"), _("diode"))
    if not any(numbers_in(text, word) for text in texts for word in words):
        return None
    modules = {number for text in texts for number in numbers_in(text, _("module"))}
    strings = {number for text in texts for number in numbers_in(text, _("string"))}
    strings = strings or {shown.string or scene.focus.string or 1}
    for place in (scene.focus, *(Place(one, two) for one in sorted(strings) for two in sorted(modules))):
        if place.module is not None and _is_there(drawn, place):
            return Place(place.string, place.module)
    return None


def numbers_in(text: str, word: str) -> set[int]:
    """Numbers that follow a word, its plural or what ends in it: "cells 1 to 20", "Bypassdiode 2".

    What has a unit behind it is measured: "the diode 7 A".
    """
    measured = r"[.,]?\d|\s*(?:[AVWK%Ω]|kW|mA|°C)(?!\w)"
    found = re.findall(rf"(?i){re.escape(word)}\w{{0,2}}\s+(\d{{1,4}})(?!{measured})", text)
    return {int(one) for one in found}


def _is_there(scenario: Scenario, place: Place) -> bool:
    try:
        module_range(array_index(scenario), Place(place.string, place.module))
    except ScenarioError:
        return False
    return True
