"""Light on the array: irradiance, painted places, and shadows on the roof."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.checks import finite, one_of, refuse, text, tuple_of
from pvsim.array.limits import MAX_NAME, MAX_PAINTED, MAX_SHADOWS
from pvsim.array.place import Place, describe_place, level_of
from pvsim.errors import ScenarioError
from pvsim.prompt import summary
from pvsim.words import _

ShadowKind = Literal["pole", "rectangle", "leaf", "dropping", "snow-edge", "front-row", "rear-beam"]

SHADOW_KINDS: tuple[ShadowKind, ...] = get_args(ShadowKind)
CAST_KINDS: frozenset[str] = frozenset({"pole", "rectangle", "front-row"})
BAND_KINDS: frozenset[str] = frozenset({"snow-edge", "front-row"})
REAR_KINDS: frozenset[str] = frozenset({"rear-beam"})


@dataclass(frozen=True, slots=True)
class Painted:
    """A place whose front light is multiplied by a transmission.

    Parameters
    ----------
    place : Place
        A cell, substring, module, string or the whole array.
    transmission : float
        0 (dark) to 1 (as without paint). Several over one cell multiply.
    """

    place: Place
    transmission: float

    def __post_init__(self) -> None:
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, _("a Place"))
        if level_of(self.place) == "diode":
            raise ScenarioError(
                _("{place} is painted").format(place=describe_place(self.place)),
                expected=_("a cell, substring, module, string or the array"),
                mend=_("Paint the substring that the diode spans; no light falls on a diode"),
            )
        finite(self, "transmission", least=0.0, most=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shadow:
    """A shadow, or a thing that lies on the glass, in roof coordinates.

    Parameters
    ----------
    kind : str
        "pole", "rectangle" (both cast from afar: diffuse light still arrives);
        "leaf", "dropping" (on the glass: it takes beam and diffuse light);
        "snow-edge" (on the glass, a band of `height_m` along every module's lower edge);
        "front-row" (cast, a band of `height_m` along the lower edge of every row of modules);
        "rear-beam" (a mounting beam behind the modules, shades the rear side only).
    x_m, y_m : float
        Centre, from the array's top left corner, x to the right, y down. Bands ignore it.
    width_m, height_m : float
        Before turning. Bands ignore the width.
    angle_deg : float
        Turned clockwise about the centre, as seen on the drawing.
    transmission : float
        Share of the light taken away that still comes through.
    name : str
        For people.
    """

    kind: ShadowKind
    x_m: float = 0.0
    y_m: float = 0.0
    width_m: float = 0.1
    height_m: float = 0.1
    angle_deg: float = 0.0
    transmission: float = 0.0
    name: str = ""

    def __post_init__(self) -> None:
        one_of(self, "kind", SHADOW_KINDS)
        finite(self, "x_m", least=-1e4, most=1e4)
        finite(self, "y_m", least=-1e4, most=1e4)
        finite(self, "width_m", least=0.0, most=1e4)
        finite(self, "height_m", least=0.0, most=1e4)
        finite(self, "angle_deg", least=-360.0, most=360.0)
        finite(self, "transmission", least=0.0, most=1.0)
        text(self, "name", most=MAX_NAME)


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """What light falls on the array.

    Parameters
    ----------
    irradiance_W_m2 : float
        In-plane, front side, unshaded.
    diffuse_fraction : float
        Share of it that still arrives in a shadow cast from afar.
    rear_irradiance_W_m2 : float
        In-plane, rear side; counts by the module's bifaciality.
    painted : tuple of Painted
    shadows : tuple of Shadow
        Where they overlap, the darkest wins.
    """

    irradiance_W_m2: float = 1000.0
    diffuse_fraction: float = 0.15
    rear_irradiance_W_m2: float = 0.0
    painted: tuple[Painted, ...] = ()
    shadows: tuple[Shadow, ...] = ()

    __repr__ = summary

    def __post_init__(self) -> None:
        finite(self, "irradiance_W_m2", least=0.0, most=2000.0)
        finite(self, "diffuse_fraction", least=0.0, most=1.0)
        finite(self, "rear_irradiance_W_m2", least=0.0, most=2000.0)
        tuple_of(self, "painted", Painted, most=MAX_PAINTED)
        tuple_of(self, "shadows", Shadow, most=MAX_SHADOWS)
