"""A message is looked at as it is written, and means what it was taken for."""

from __future__ import annotations

import json

from bokeh.core.serialization import Deserializer, Serializer
from panel.io.server import WSHandler
from panel.models.esm import DataEvent, ReactiveESM

from pvsim.app.door.letter import COMPONENT_EVENT, PAGE_EVENTS
from pvsim.app.mends.door import DOOR
from pvsim.app.mends.page_socket import PageSocket


def test_the_events_a_page_sends_are_still_called_so():
    assert DataEvent.event_name == COMPONENT_EVENT
    from bokeh.events import _CONCRETE_EVENT_CLASSES

    assert set(PAGE_EVENTS) <= set(_CONCRETE_EVENT_CLASSES)


def test_an_event_of_a_component_is_read_as_it_is_looked_at():
    """The door looks at the written form; what Bokeh makes of it has to be the same."""
    from pvsim.benchmark.student import data_event

    model = ReactiveESM()
    data = {"do": "x", "list": [1, 2.5, None, {"a": "b"}]}
    written = data_event(model.id, data)["events"][0]["msg_data"]
    event = Deserializer([model]).deserialize(written)
    assert isinstance(event, DataEvent)
    assert event.model is model
    assert event.data == data
    assert json.loads(json.dumps(Serializer().encode(data))) == written["values"]["entries"][1][1]


def test_a_socket_is_opened_without_waiting(monkeypatch):
    """A token that nobody signed is put aside before Bokeh sees it."""
    calls = []

    class Seats:
        def sit(self, address: str) -> bool:
            return address == "192.0.2.7"

    socket = PageSocket.__new__(PageSocket)
    socket.request = type("Request", (), {"remote_ip": "192.0.2.7"})()
    door = type("Door", (), {"seats": Seats()})()
    socket.application = type(
        "Application",
        (),
        {"settings": {DOOR: door}, "secret_key": b"k", "session_token_expiration": 60},
    )()
    socket._token = "forged"
    monkeypatch.setattr(PageSocket, "selected_subprotocol", "bokeh")
    monkeypatch.setattr(PageSocket, "set_nodelay", lambda self, value: calls.append(value))
    monkeypatch.setattr(WSHandler, "open", lambda self: calls.append(self._token))
    socket.open()
    assert calls[0] is True
    assert calls[1] != "forged"
    assert socket._is_valid(calls[1])
