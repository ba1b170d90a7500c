"""Browser contexts that are used again: what a page's scripts cost to fetch and translate is paid once."""

from __future__ import annotations

from typing import Any

from tests.patience import PATIENCE_ms

__all__ = ["Contexts"]


class Contexts:
    """Contexts of one browser, each lent to one test at a time and as good as new when it is lent again.

    What a browser keeps of a page (storage, cookies) is gone by then; its scripts it still has, as a browser
    that comes again does. That is a fifth of the work of opening a page.

    Parameters
    ----------
    browser : playwright.sync_api.Browser
    """

    def __init__(self, browser: Any) -> None:
        self._browser = browser
        self._free: list[tuple[str, Any]] = []
        self._kinds: dict[Any, str] = {}

    def take(self, viewport: dict[str, int], kept: dict[str, Any], **options: Any) -> Any:
        """A context without any page.

        Parameters
        ----------
        viewport : dict
            Width and height, px.
        kept : dict
            What it has kept of earlier visits, as playwright's storage state.
        options : object
            Further options of a new context.
        """
        kind = repr((sorted(viewport.items()), sorted(options.items())))
        for index, (other, context) in enumerate(self._free):
            if other == kind:
                del self._free[index]
                context.set_storage_state(kept)
                return context
        context = self._browser.new_context(
            viewport=viewport, storage_state=kept, accept_downloads=True, **options
        )
        context.set_default_timeout(PATIENCE_ms)
        self._kinds[context] = kind
        context.on("close", lambda closed: self._kinds.pop(closed, None))
        return context

    def give_back(self, context: Any) -> None:
        """Close its pages and keep it for the next who wants one of its kind."""
        if context in self._kinds:  # else somebody has closed it
            for page in context.pages:
                page.close()
            self._free.append((self._kinds[context], context))
