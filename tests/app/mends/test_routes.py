"""The routes that a server has, and that nobody is served without those of a page."""

from __future__ import annotations

import pytest
from bokeh.server.views.ico_handler import IcoHandler
from tornado.routing import Rule
from tornado.web import Application

from pvsim.app.bundle import answer_bundle
from pvsim.app.mends.door import Door
from pvsim.app.mends.page_handler import PageHandler
from pvsim.app.mends.page_socket import PageSocket
from pvsim.app.mends.routes import FILES, guard
from pvsim.app.modules import answer_module
from pvsim.app.packed_files import PackedFiles
from pvsim.app.room.notes import NotesPage, NotesSocket
from pvsim.app.room.phone import EntryPage, PhonePage, PhoneSocket
from pvsim.app.server import create_server
from pvsim.files.demo import read_demo


@pytest.fixture
def server():
    server = create_server(read_demo("workshop"))
    yield server
    server.stop()


def test_the_server_has_the_routes_that_are_needed_and_no_others(server):
    """Panel and Bokeh may add routes of any kind; none of them is let through unseen."""
    found = [(rule.matcher.regex.pattern, rule.target) for rule in server._tornado.wildcard_router.rules]
    targets = [target for _pattern, target in found]
    assert set(targets) == {
        *(PageHandler, PageSocket, PackedFiles, answer_bundle, answer_module, IcoHandler, *FILES.values()),
        *(EntryPage, PhonePage, PhoneSocket, NotesPage, NotesSocket),
    }
    assert ["/ws$"] == [pattern for pattern, target in found if target is PageSocket]


def test_a_release_without_those_routes_is_told_when_the_server_is_made(server, monkeypatch):
    with pytest.raises(RuntimeError, match="DocHandler, WSHandler"):
        guard(server, Door(), own=(), first=Rule(None, None))  # the routes are mended already


def test_tornado_still_takes_the_parts_of_the_router_that_are_set():
    application = Application([])
    assert application.wildcard_router.rules == []
    assert isinstance(application.default_router.rules, list)
    assert application.settings == {} or isinstance(application.settings, dict)
