"""Views compared by what a browser is told of them, while other pages are being served."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from bokeh.document import Document
from bokeh.io.doc import patch_curdoc

from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.files.demo import read_demo
from tests.app.told import told


def test_a_page_that_another_thread_serves_lends_nothing_to_one_that_is_compared() -> None:
    served = Document()
    request = SimpleNamespace(arguments={}, cookies={}, headers={})
    context = SimpleNamespace(request=request)
    served._session_context = lambda: context  # as a server's document has it
    alone = told(RoofView(State(read_demo("workshop"))))
    with patch_curdoc(served):
        served.add_root(RoofView(State(read_demo("workshop"))).root.get_root(served))
        assert told(RoofView(State(read_demo("workshop")))) == alone
