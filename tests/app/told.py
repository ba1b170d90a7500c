"""Views on a page without a browser; all that one is told of them, as a text that two can be compared by."""

from __future__ import annotations

import json
import re
from typing import Any

from bokeh.document import Document
from panel.io.state import set_curdoc

BY_CHANCE = re.compile(r"p\d+|[0-9a-f]{32}|(?<=[a-zA-Z])\d{5}\b")


def put_on(document: Document, *components: Any) -> list[Any]:
    """Make these the roots of a document; their models.

    Bokeh's current document is one for the whole process: a page that another test's server still holds in
    its thread would lend its style sheets to this one.
    """
    with set_curdoc(document):
        for one in components:
            document.add_root(one.get_root(document))
    return list(document.roots)


def told(*views: Any) -> str:
    """Every model of a page with these views, without numbers that come by chance."""
    document = Document()
    put_on(document, *(view.root for view in views))
    return BY_CHANCE.sub("", json.dumps(document.to_json(), default=_plain))


def _plain(one: Any) -> Any:
    """Parts of a document as JSON has them."""
    return one.to_base64() if hasattr(one, "to_base64") else getattr(one, "content", str(one))
