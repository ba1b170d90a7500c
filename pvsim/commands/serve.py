"""`pvsim serve`, and `pvsim` alone: the page, served from this machine."""

from __future__ import annotations

import errno
from argparse import Namespace
from typing import TYPE_CHECKING

from pvsim.commands.source import open_scenario
from pvsim.errors import FileError
from pvsim.files.demo import FIRST_DEMO
from pvsim.words import known_language, languages

if TYPE_CHECKING:
    from bokeh.server.server import Server

    from pvsim.array.scenario import Scenario

USUAL_PORT = 5610  # the same one each time, so that a bookmark holds; another one when it is taken


def run(options: Namespace) -> int:
    """Serve the page until interrupted."""
    scenario = open_scenario(options.source or FIRST_DEMO)
    server = _server(scenario, options.port, _language(options.language))
    _spare_collector()
    server.start()
    print(f"pvsim is at http://127.0.0.1:{server.port}/ and ends with Ctrl+C", flush=True)
    if options.browser:
        server.show("/")
    server.run_until_shutdown()
    return 0


def _spare_collector() -> None:
    from pvsim.app.server import collect_seldom

    collect_seldom()


def _language(code: str | None) -> str:
    """The language asked for; "" when it is left to each browser."""
    if not code:
        return ""
    known = known_language(code)
    if not known:
        codes = [one.code for one in languages()]
        raise FileError(
            f"pvsim does not speak {code[:20]!r}",
            expected="one of " + ", ".join(codes),
            mend="Leave --language out to have each browser asked",
        )
    return known


def _server(scenario: Scenario, port: int | None, language: str) -> Server:
    from pvsim.app.server import create_server

    if port is not None and not 0 <= port <= 65_535:
        raise FileError(f"the port is {port}", expected="a number from 0 to 65535", mend="Leave --port out")
    try:
        return create_server(scenario, port=USUAL_PORT if port is None else port, language=language)
    except OSError as error:
        if port is None:
            return create_server(scenario, port=0, language=language)
        reason = "is in use" if error.errno == errno.EADDRINUSE else "cannot be used"
        raise FileError(
            f"port {port} {reason}",
            expected="a free port",
            mend="Leave --port out, or give --port 0 for any free one",
        ) from None
