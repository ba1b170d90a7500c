"""What is written on the page as boxes: which of them lie on one another, or on something else."""

from __future__ import annotations

from itertools import combinations
from typing import Any

# The letters of a text, without the air of its line above and below; of what is seen, never of ghosts.
LETTERS = """(root, selector) => {
  const all = []
  const look = node => {
    for (const one of node.querySelectorAll(selector)) all.push(one)
    for (const one of node.querySelectorAll("*")) if (one.shadowRoot) look(one.shadowRoot)
  }
  look(root)
  const seen = one => one.checkVisibility({ visibilityProperty: true, opacityProperty: true })
  return all.filter(seen).map(one => {
    const words = one.textContent.replaceAll("\\u200b", "").trim()
    const box = one.getBoundingClientRect()
    const turned = one.ownerSVGElement && Math.abs(one.getCTM().b) > 0.5
    const type = parseFloat(getComputedStyle(one).fontSize)
    const air = turned ? [(box.width - 0.72 * type) / 2, 0] : [0, (box.height - 0.72 * type) / 2]
    const [x, y] = [box.x + air[0], box.y + air[1]]
    return { words, x, y, width: box.width - 2 * air[0], height: box.height - 2 * air[1] }
  }).filter(one => one.words && one.width > 0.5)
}"""

Box = dict[str, Any]


def letters(page: Any, region: str, selector: str) -> list[Box]:
    """The boxes of the letters of every text that `selector` finds in a region, shadow roots included."""
    return page.locator(region).evaluate(
        f"(root, selector) => ({LETTERS})(root, selector)", selector
    )


def shared(a: Box, b: Box) -> tuple[float, float]:
    """How far two boxes reach over one another, across and down, in px; negative where they are apart."""
    across = min(a["x"] + a["width"], b["x"] + b["width"]) - max(a["x"], b["x"])
    down = min(a["y"] + a["height"], b["y"] + b["height"]) - max(a["y"], b["y"])
    return across, down


def collisions(boxes: list[Box], *, slack: float = 1.0) -> list[tuple[str, str]]:
    """Pairs of texts whose letters lie on one another by more than `slack` px both ways."""
    return [
        (a["words"], b["words"])
        for a, b in combinations(boxes, 2)
        if min(shared(a, b)) > slack
    ]
