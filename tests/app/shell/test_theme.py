"""The colours of both themes: readable, and the same set of tokens."""

from __future__ import annotations

import re

import pytest

from pvsim.app.assets import css

THEMES = ("light", "dark")
SURFACES = ("ground", "sheet", "sheet-2")


def tokens(theme: str) -> dict[str, str]:
    """The colours of a theme, by token name."""
    block = re.search(rf':root\[data-theme="{theme}"\]\s*{{(.*?)}}', css("theme"), re.S)
    assert block is not None
    return dict(re.findall(r"--([a-z0-9-]+):\s*(#[0-9A-Fa-f]{6})", block[1]))


def luminance(colour: str) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio, as WCAG 2.2 defines it."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_both_themes_have_the_same_tokens() -> None:
    assert set(tokens("light")) == set(tokens("dark"))


def test_contrast_of_black_on_white_is_21() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)  # WCAG 2.2, definition of contrast ratio


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("surface", [*SURFACES, "tint"])
@pytest.mark.parametrize("text", ["ink", "ink-2", "accent"])
def test_text_is_readable(theme: str, surface: str, text: str) -> None:
    colours = tokens(theme)
    assert contrast(colours[text], colours[surface]) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", ["curve-i", "curve-p", "good", "warn", "bad"])
def test_coloured_text_is_readable_on_a_sheet(theme: str, name: str) -> None:
    colours = tokens(theme)
    assert contrast(colours[name], colours["sheet"]) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("theme", THEMES)
def test_text_on_the_accent_is_readable(theme: str) -> None:
    colours = tokens(theme)
    assert contrast(colours["on-accent"], colours["accent"]) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("surface", SURFACES)
@pytest.mark.parametrize("name", ["edge", "focus"])
def test_edges_of_controls_and_the_focus_ring_are_seen(theme: str, surface: str, name: str) -> None:
    colours = tokens(theme)
    assert contrast(colours[name], colours[surface]) >= 3.0  # WCAG 2.2, 1.4.11


def test_large_type_and_less_motion_are_looked_after() -> None:
    assert 'data-large="true"' in css("theme")
    assert "prefers-reduced-motion" in css("theme")
    assert "forced-colors" in css("controls")


ZERO = """async (weight) => {
  await document.fonts.load(`${weight} 100px "Atkinson Hyperlegible Next"`, "0")
  const canvas = Object.assign(document.createElement("canvas"), { width: 200, height: 200 })
  const pen = canvas.getContext("2d", { willReadFrequently: true })
  pen.font = `${weight} 100px "Atkinson Hyperlegible Next"`
  pen.fillText("0", 40, 150)
  const ink = pen.getImageData(0, 0, 200, 200).data
  const at = (x, y) => ink[4 * (y * 200 + x) + 3] > 128
  const points = []
  for (let y = 0; y < 200; y++) for (let x = 0; x < 200; x++) if (at(x, y)) points.push([x, y])
  const side = (k, best) => best(...points.map(p => p[k]))
  const middle = k => Math.round((side(k, Math.min) + side(k, Math.max)) / 2)
  const [x, y] = [middle(0), middle(1)]
  const strokes = (line) => line.filter((on, k) => on && !line[k - 1]).length
  return {
    height: side(1, Math.max) - side(1, Math.min),
    across: strokes(Array.from({ length: 200 }, (_, k) => at(k, y))),
    down: strokes(Array.from({ length: 200 }, (_, k) => at(x, k))),
  }
}"""


@pytest.mark.ui
@pytest.mark.usefixtures("kept_pages")
@pytest.mark.parametrize("weight", [400, 600, 800])
def test_a_zero_is_a_plain_ring_and_not_struck_out(bench, weight: int) -> None:
    drawn = bench.open().evaluate(ZERO, weight)
    assert 55 < drawn["height"] < 90  # of a font of 100 px: it is this typeface that is drawn
    assert (drawn["across"], drawn["down"]) == (2, 2)
