"""A new shadow: how large each kind is at first, and where it falls."""

from __future__ import annotations

from pvsim.app.words import mark
from pvsim.array.light import SHADOW_KINDS, Shadow
from pvsim.array.module import module_size
from pvsim.array.scenario import Scenario, module_type
from pvsim.errors import ScenarioError, nearest
from pvsim.words import _

__all__ = ["SHADOW_TITLES", "new_shadow"]

# Width and height in m: common practice, no source; all can be changed on the drawing.
SIZES_m = {
    "pole": (0.12, 2.2),
    "rectangle": (0.8, 0.6),
    "leaf": (0.16, 0.1),
    "dropping": (0.07, 0.07),
    "snow-edge": (1.0, 0.12),
    "front-row": (1.0, 0.25),
    "rear-beam": (0.06, 1.0),
}
SHADOW_TITLES = {
    "pole": mark("a pole's shadow"),
    "rectangle": mark("a chimney's shadow"),
    "leaf": mark("a leaf"),
    "dropping": mark("a bird dropping"),
    "snow-edge": mark("snow along the lower edges"),
    "front-row": mark("the shadow of a row in front"),
    "rear-beam": mark("a beam behind the modules"),
}


def new_shadow(scenario: Scenario, kind: str, **where: float) -> Shadow:
    """A shadow of its usual size on the middle of the first module, or where it is told to be.

    Parameters
    ----------
    scenario : Scenario
        Whose roof it falls on.
    kind : str
        A kind of shadow.
    where : float
        Fields of Shadow that are to differ: x_m, y_m, width_m, ...
    """
    if kind not in SIZES_m:
        raise ScenarioError(
            _("there is no kind of shadow called {kind}").format(kind=repr(kind[:80])),
            expected=_("one of {names}").format(names=", ".join(SHADOW_KINDS)),
            mend=nearest(kind[:80], SHADOW_KINDS),
        )
    array = scenario.array
    width, height = module_size(module_type(scenario, array.strings[0].modules[0].type))
    if array.orientation == "landscape":
        width, height = height, width
    size = SIZES_m[kind]
    fields = {"x_m": width / 2, "y_m": height / 2, "width_m": size[0], "height_m": size[1], **where}
    return Shadow(kind=kind, **fields)  # type: ignore[arg-type]
