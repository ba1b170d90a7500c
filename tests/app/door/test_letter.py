"""What a page may say: the short list, and that nothing else gets through, whatever is mutated."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.door.letter import DEEPEST, MOST_EVENTS, MOST_VALUES, Refused, check_letter
from pvsim.benchmark.student import data_event

KINDS = {"c1": "component", "p1": "Plot", "o1": "Range1d"}
HEADER = {"msgid": "m1", "msgtype": "PATCH-DOC"}


def check(content: Any, header: Any = HEADER) -> None:
    """Look at a message on a page of three models."""
    check_letter(header, content, KINDS.get)


def changed(**parts: Any) -> dict[str, Any]:
    """A change of a figure's size, with some parts of it replaced."""
    usual = {"kind": "ModelChanged", "model": {"id": "p1"}, "attr": "inner_width", "new": 480}
    return {"events": [usual | parts]}


def told(name: str, **parts: Any) -> dict[str, Any]:
    """An event of the page."""
    data = {"type": "event", "name": name, "values": {"type": "map"}} | parts
    return {"events": [{"kind": "MessageSent", "msg_type": "bokeh_event", "msg_data": data}]}


@pytest.mark.parametrize(
    "content",
    [
        changed(),
        changed(new=None),
        changed(attr="outer_height", new=0.5),
        told("document_ready"),
        told("client_reconnected", values={"type": "map", "entries": []}),
        data_event("c1", {"do": "undo", "value": None}),
        data_event("c1", {"a": [1, -2.5, True, "ü", [], {"b": {}}]}),
        data_event("c1", {"at": list(range(5000))}),
        data_event("c1", {"text": "x" * 1_000_000}),
    ],
)
def test_what_a_page_says_is_let_through_and_left_as_it_is(content):
    before = json.dumps(content)
    check(content)
    assert json.dumps(content) == before


def test_numbers_that_json_has_no_word_for_are_plain():
    content = data_event("c1", {"x": 0})
    entries = content["events"][0]["msg_data"]["values"]["entries"]
    entries[1][1]["entries"][0][1] = {"type": "number", "value": "nan"}
    check(content)


def test_the_document_may_be_asked_for():
    check({}, {"msgid": "m1", "msgtype": "PULL-DOC-REQ"})


@pytest.mark.parametrize("kind", ["PUSH-DOC", "SERVER-INFO-REQ", "ACK", "OK", "ERROR", "", None, 7, []])
def test_no_other_kind_of_message_is_let_through(kind):
    with pytest.raises(Refused):
        check({}, {"msgid": "m1", "msgtype": kind})


@pytest.mark.parametrize(
    "header",
    [
        None,
        [],
        {},
        {"msgtype": "PATCH-DOC"},
        HEADER | {"num_buffers": 1},
        HEADER | {"msgid": 1},
        HEADER | {"msgid": "x" * 999},
    ],
)
def test_an_odd_header_is_refused(header):
    with pytest.raises(Refused):
        check(changed(), header)


OBJECT = {"type": "object", "name": "CustomAction", "id": "x", "attributes": {"icon": "/etc/x.png"}}
BYTES = {"type": "bytes", "data": "H4sI"}
ODD_VALUES = [
    OBJECT,
    {"type": "object", "name": "x"},
    BYTES,
    {"type": "ndarray", "array": BYTES, "shape": [1], "dtype": "float64", "order": "little"},
    {"type": "typed_array", "array": BYTES, "dtype": "float64", "order": "little"},
    {"type": "set", "entries": []},
    {"type": "slice", "start": 0, "stop": 1, "step": 1},
    {"type": "ref", "id": "c1"},
    {"type": "symbol", "name": "x"},
    {"type": "array", "entries": []},
    {"type": "event", "name": "document_ready", "values": {"type": "map"}},
    {"type": ["object"]},
    {"id": "c1"},
    {"a": 1},
    {},
    {"type": "number", "value": "1e999"},
    {"type": "number", "value": [1]},
    {"type": "map", "entries": [["a", 1, 2]]},
    {"type": "map", "entries": [[OBJECT, 1]]},
    {"type": "map", "entries": {"a": 1}},
    {"type": "map", "entries": [["a", OBJECT]]},
    {"type": "map", "entries": [], "more": 1},
    [OBJECT],
    float("nan"),
    float("inf"),
    10**400,
]


@pytest.mark.parametrize("odd", ODD_VALUES, ids=lambda one: str(one)[:40])
def test_what_is_not_plain_is_refused_wherever_it_stands(odd):
    message = data_event("c1", {"do": "x"})
    entries = message["events"][0]["msg_data"]["values"]["entries"]
    entries[1][1] = odd
    contents = [
        message,
        changed(new=odd),
        changed(model=odd),
        changed(attr=odd),
        told("document_ready", values=odd),
        {"events": [odd]},
        {"events": [{"kind": odd}]},
    ]
    for content in contents:
        with pytest.raises(Refused):
            check(content)


@pytest.mark.parametrize(
    "content",
    [
        None,
        [],
        {},
        {"events": []},
        {"events": {}},
        {"events": [], "references": []},
        changed(model={"id": "c1"}),
        changed(model={"id": "o1"}, attr="start"),
        changed(model={"id": "nobody"}),
        changed(attr="name"),
        changed(attr="inner_width", new=True),
        changed(new="480"),
        changed(new=1e9),
        changed(more=1),
        told("document_ready", more=1),
        told("button_click"),
        told("esm_event"),
        told("document_ready", values={"type": "map", "entries": [["model", {"id": "c1"}]]}),
        data_event("p1", {"do": "x"}),
        data_event("nobody", {"do": "x"}),
        {"events": [{"kind": "MessageSent", "msg_type": "pubsub", "msg_data": "x"}]},
        *(
            {"events": [{"kind": kind}]}
            for kind in ("RootAdded", "RootRemoved", "TitleChanged", "ColumnDataChanged")
        ),
        *(
            {"events": [{"kind": kind}]}
            for kind in ("ColumnsStreamed", "ColumnsPatched", "DataChanged", None, 1)
        ),
        data_event("c1", {"at": list(range(MOST_VALUES + 1))}),
        {"events": changed()["events"] * (MOST_EVENTS + 1)},
    ],
    ids=lambda one: str(one)[:60],
)
def test_everything_else_is_refused(content):
    with pytest.raises(Refused):
        check(content)


@pytest.mark.parametrize("depth", [DEEPEST + 1, 500])
def test_values_deep_in_one_another_are_refused_without_recursion(depth):
    value: Any = 1
    for _ in range(depth):
        value = [value]
    content = data_event("c1", {})
    content["events"][0]["msg_data"]["values"]["entries"][1][1] = value
    with pytest.raises(Refused, match="deep"):
        check(content)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["type", "id", "name", "entries", "kind", "model", "attr", "new"]), inner
        )
    ),
    max_leaves=20,
)


@given(content=JSON, header=JSON)
def test_any_json_is_let_through_or_refused_and_nothing_else_happens(content, header):
    for one in (content, {"events": [content]}, changed(new=content), told("data_event", values=content)):
        for head in (HEADER, header):
            try:
                check(one, head)
            except Refused as error:
                assert len(str(error)) < 200
