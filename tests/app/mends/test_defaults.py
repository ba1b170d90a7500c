"""What Bokeh's models are by default is found once for a class, and comes to the same."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from bokeh.core.property.bases import Property
from bokeh.core.property.descriptors import PropertyDescriptor
from bokeh.core.property.singletons import Undefined
from bokeh.document import Document
from bokeh.model import Model
from bokeh.models import ColorPicker, DataTable, HoverTool, Legend, Slider

from pvsim.app.curves.figures import make_figures
from pvsim.app.mends.defaults import PLAIN, forget_defaults, remember_defaults


@pytest.fixture
def mend() -> Iterator[None]:
    """The mend as the server has it, and the process as it was before."""
    was = vars(PropertyDescriptor)["instance_default"]
    remember_defaults()
    yield
    forget_defaults()
    if was is not vars(PropertyDescriptor)["instance_default"]:  # a server of this run had it
        remember_defaults()


def models() -> list[type[Model]]:
    """Every kind of model that the figures are made of, and a few with all sorts of properties."""
    figures = make_figures()
    used = {type(one) for one in figures.current.references() | figures.power.references()}
    return [*used, ColorPicker, DataTable, HoverTool, Legend, Slider]


def defaults(one: Model) -> dict[str, Any]:
    """Plain defaults of a model, by name."""
    found = {}
    for name in one.properties():
        looked_up = one.lookup(name)
        value = looked_up.instance_default(one) if isinstance(looked_up, PropertyDescriptor) else None
        if isinstance(value, PLAIN) and value is not Undefined:
            found[name] = value
    return found


def differing(one: Model) -> set[str]:
    """Which of a model's defaults are its own: lists, tables, other models."""
    descriptors = (one.lookup(name) for name in one.properties())
    return {
        each.name
        for each in descriptors
        if isinstance(each, PropertyDescriptor) and each.has_unstable_default(one)
    }


def test_every_default_of_every_model_stays_what_it_was(mend):
    kinds = models()
    assert len(kinds) > 20
    forget_defaults()
    plain = [defaults(kind()) for kind in kinds]
    differ = [differing(kind()) for kind in kinds]
    remember_defaults()
    for _again in range(2):  # the second time from memory
        assert [defaults(kind()) for kind in kinds] == plain
        assert [differing(kind()) for kind in kinds] == differ


def sent(figures: Any) -> str:
    """What a browser is sent of figures, with their names in the order in which they come."""
    document = Document()
    document.add_root(figures.current)
    document.add_root(figures.power)
    names: dict[str, str] = {}
    text = json.dumps(document.to_json(deferred=False)["roots"])
    return re.sub(r'"p?\d+"', lambda found: names.setdefault(found[0], f'"{len(names)}"'), text)


def test_the_browser_is_sent_the_same(mend):
    forget_defaults()
    plain = sent(make_figures())
    remember_defaults()
    sent(make_figures())
    assert sent(make_figures()) == plain


def test_each_model_has_lists_and_models_of_its_own(mend):
    first, second = make_figures(), make_figures()
    assert first.now.selected is not second.now.selected
    assert first.current.toolbar is not second.current.toolbar
    first.current.below.clear()
    assert len(second.current.below) == 1


def test_the_second_page_asks_for_few_defaults(mend, monkeypatch):
    asked = []
    found = Property.themed_default

    def counted(self: Property[Any], *args: Any, **options: Any) -> Any:
        asked.append(self)
        return found(self, *args, **options)

    monkeypatch.setattr(Property, "themed_default", counted)
    counts = []
    for begin in (forget_defaults, remember_defaults, lambda: None):
        begin()
        asked.clear()
        sent(make_figures())
        counts.append(len(asked))
    assert counts[2] < counts[1] < counts[0]
    assert counts[2] < 0.5 * counts[0]
