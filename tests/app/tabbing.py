"""Going about a page with the Tab key alone, as somebody does who has no mouse."""

from __future__ import annotations

from typing import Any

MOST_TABS = 60
AT = """() => {
  let at = document.activeElement
  while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement
  if (at === document.body) return { name: "", within: false }
  const label = at?.labels?.[0]?.textContent ?? at?.textContent ?? ""
  return { name: (at?.getAttribute("aria-label") ?? label).trim(), within: Boolean(at?.closest?.("dialog")) }
}"""


def tab_to(page: Any, name: str, *, within: bool = True, back: bool = False) -> None:
    """Go on with Tab until what is so called has the keys; in a dialog they never leave it."""
    for _press in range(MOST_TABS):
        page.keyboard.press("Shift+Tab" if back else "Tab")
        at = page.evaluate(AT)
        # At the dialog's end the browser itself may have them for one press.
        assert not within or at["within"] or not at["name"], at
        if at["name"] == name:
            return
    raise AssertionError(f"no Tab leads to “{name}”")
