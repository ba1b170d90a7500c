"""The page as a document: made once, without what no page uses, with a word for its policy."""

from __future__ import annotations

import re
import secrets
from typing import Any

import panel as pn
from bokeh.document import Document
from panel.io.resources import LOCAL_DIST

__all__ = ["MendedTemplate", "needed", "settle"]


def settle(document: Document) -> None:
    """What Panel decides for a document where pvsim decides otherwise.

    The frame tells of lost connections in its own words. And a page that knocks at a server started anew is
    made without a request; Panel would name its style sheets at a delivery host.
    """
    document.config.update(reconnect_session=True, notify_connection_status=False)
    document.template_variables["dist_url"] = LOCAL_DIST


# What Panel puts into every page beside: a shim for browsers that cannot import, and drawing on the GPU.
SPARE = re.compile(r"<script\b[^>]*(?:esms-options|es-module-shims|bokeh-gl)[^>]*>.*?</script>\s*", re.DOTALL)


def needed(scripts: Any) -> str:
    """What a document's head loads, without what no page uses; static/shell/opening.js stands in for it."""
    return SPARE.sub("", str(scripts))


class MendedTemplate(pn.Template):
    """A template whose cost of opening grows with its parts, not with their square, and whose inline scripts
    carry a word that the content security policy names."""

    def __init__(self, *args: Any, **params: Any) -> None:
        super().__init__(*args, **params)
        self.add_variable("nonce", secrets.token_urlsafe(16))
        self.add_variable("needed", needed)

    def __repr__(self) -> str:
        # Panel writes out the whole page, once more for every part added, for a notebook's eyes.
        return type(self).__name__

    def _init_doc(self, doc: Document | None = None, *args: Any, **options: Any) -> Document:
        document = doc or pn.state.curdoc or Document()
        with document.models.freeze():  # all models are found once, not once for every part
            return super()._init_doc(document, *args, **options)
