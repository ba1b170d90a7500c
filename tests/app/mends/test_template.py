"""The page as a document is made once, and loads nothing that no page uses."""

from __future__ import annotations

import re

import panel as pn
import pytest
from bokeh.document import Document

from pvsim.app.mends.template import MendedTemplate, needed


def test_a_document_loads_no_script_that_no_page_uses():
    scripts = """<script nonce="x" type="esms-options">{"shimMode": true}</script>
      <script src="static/bundled/es-module-shims@1/es-module-shims.min.js"></script>
      <script src="static/js/bokeh.min.js"></script><script src="static/js/bokeh-gl.min.js?v=1"></script>
      <script src="static/panel.min.js"></script>"""
    assert re.findall(r'src="static/(?:js/)?([\w-]+)', needed(scripts)) == ["bokeh", "panel"]
    assert "shimMode" not in needed(scripts)


@pytest.mark.ui
def test_opening_lays_a_component_out_once_for_a_picture(bench):
    """What static/shell/opening.js reaches into is there, and does what it is for."""
    page = bench.open()
    fetched = page.evaluate("performance.getEntriesByType('resource').map(one => one.name).join()")
    assert "bokeh.min" in fetched
    assert not re.search("shims|-gl", fetched)
    often = page.evaluate(
        """async () => {
          const own = one => one.model.type.endsWith("ReactiveESM") && !one.is_managed
          const view = [...Bokeh.index.all_views()].find(own)
          let laid = 0
          const measure = view.measure_layout
          view.measure_layout = function () { laid += 1; return measure.call(this) }
          for (let k = 0; k < 5; k += 1) view.invalidate_layout()
          await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))
          delete view.measure_layout
          return laid
        }"""
    )
    assert often == 1


def test_a_template_does_not_write_itself_out_and_carries_a_new_word_each_time():
    pages = [MendedTemplate("<html>{{ nonce }}</html>") for _ in range(2)]
    assert repr(pages[0]) == "MendedTemplate"
    words = {page._init_doc(Document()).template_variables["nonce"] for page in pages}
    assert len(words) == 2
    assert min(map(len, words)) >= 20


def test_models_are_looked_for_once_for_a_whole_page(monkeypatch):
    counted = []
    manager = type(Document().models)
    recompute = manager.recompute
    monkeypatch.setattr(manager, "recompute", lambda self: counted.append(1) or recompute(self))
    page = MendedTemplate("<html></html>")
    for k in range(6):
        page.add_panel(f"part{k}", pn.pane.HTML("x"))
    page._init_doc(Document())
    assert len(counted) <= 2
    counted.clear()
    plain = pn.Template("<html></html>")
    for k in range(6):
        plain.add_panel(f"part{k}", pn.pane.HTML("x"))
    plain._init_doc(Document())
    assert len(counted) > 2  # or the mend is not needed any more
