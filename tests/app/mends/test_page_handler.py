"""Nobody but this server names a session."""

from __future__ import annotations

import inspect
import re

import pytest
from bokeh.server.views.ws import WSHandler as BokehSocket
from panel.io.server import DocHandler

from pvsim.app.server import create_server
from pvsim.files.demo import read_demo


@pytest.fixture
def server():
    server = create_server(read_demo("workshop"))
    yield server
    server.stop()


def test_sessions_are_signed_with_a_secret_that_no_other_server_has(server):
    other = create_server(read_demo("workshop"))
    try:
        keys = [one._tornado.secret_key for one in (server, other)]
        assert all(one._tornado.sign_sessions for one in (server, other))
        assert keys[0] != keys[1]
        assert len(keys[0]) >= 32
    finally:
        other.stop()


def test_bokeh_still_takes_what_a_session_s_name_is_from_where_the_page_looks():
    """Other ways to name a session would have to be refused too."""
    source = inspect.getsource(BokehSocket) + "".join(
        inspect.getsource(one) for one in DocHandler.__mro__ if one.__module__.startswith(("bokeh", "panel"))
    )
    named = set(re.findall(r"get_(?:query_)?arguments?\(\s*[\"']([^\"']+)", source))
    named |= set(re.findall(r"headers(?:\.get\(|\[)[\"']([^\"']+)", source))
    assert named - {"Cookie"} == {"bokeh-token", "bokeh-session-id", "Bokeh-Session-Id"}
