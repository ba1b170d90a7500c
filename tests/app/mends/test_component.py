"""A component costs what it carries; where Panel does that by itself, the mend can go."""

from __future__ import annotations

import inspect

import panel as pn
from bokeh.document import Document
from panel.io.state import set_curdoc
from panel.models.esm import ReactiveESM

from pvsim.app.component import Component
from tests.app.told import put_on


def test_a_component_is_marked_without_a_search_and_panel_still_searches():
    source = inspect.getsource(pn.custom.ReactiveESM._patch_datamodel_ref)
    assert "references" in source or "select" in source, "Panel does not search any more: is the mend needed?"
    props = ReactiveESM()
    for _ in range(2):
        Component._patch_datamodel_ref(props, "r1")
    assert props.tags == ["__ref:r1"]


def test_a_component_is_the_address_of_a_module_without_a_search_for_bundles():
    properties = Component(lambda _wish: None)._get_properties(None)
    assert properties["bundle"] == "url"
    source = inspect.getsource(pn.custom.ReactiveESM)
    asked = source[source.index("def _bundle_path(cls)") :]
    assert "is_file" in asked, "Panel does not search any more: is the mend needed?"


def test_every_document_says_of_all_kinds_of_parts_and_no_part_says_so_again():
    """Else the first of a kind breaks the page that is drawn anew, and later ones are not known there."""
    from pvsim.app.page import LATER

    for kind in LATER:
        assert kind(lambda _wish: None)._get_properties(None)["_defs"] == []
    known = {one["name"] for one in Document().to_json().content["defs"]}
    assert {kind._data_model.__name__ for kind in LATER} <= known
    assert "_data_model__initialized" in inspect.getsource(pn.custom.ReactiveESM), "is the mend needed?"


def test_plain_values_are_carried_and_children_are_not():
    from pvsim.app.curves.view import Desk

    assert {"shown", "words"} <= Desk._carried()
    assert not {"current", "power", "stylesheets", "sizing_mode", "min_height"} & Desk._carried()
    source = inspect.getsource(pn.custom.ReactiveESM._update_model)
    assert "list(Reactive.param)" in source, "Panel does not look through all any more: is the mend needed?"


def test_what_is_put_goes_straight_to_a_browser_and_else_as_param_does():
    from pvsim.app.shell.status import StatusLine

    line, heard = StatusLine(lambda _wish: None), []
    line.param.watch(lambda *events: heard.append([event.name for event in events]), ["said", "notice"])
    line.put(said="one", notice="two")
    assert heard == [["said", "notice"]]
    document = Document()
    [model] = put_on(document, line)
    changes = []
    document.on_change(lambda event: changes.append((event.attr, event.new)))
    pn.state._views[model.ref["id"]] = (line, model, document, None)
    try:
        with set_curdoc(document):
            line.put(said="three", notice="two")
    finally:
        del pn.state._views[model.ref["id"]]
    assert changes == [("said", "three")]
    assert line.said == model.data.said == "three"
    assert len(heard) == 1
