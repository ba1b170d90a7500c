"""`pvsim serve`, and `pvsim` alone: the page, served from this machine."""

from __future__ import annotations

import errno
import os
import signal
import sys
from argparse import Namespace
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pvsim.app.door.lines import short
from pvsim.commands.log import log_briefly
from pvsim.commands.source import open_scenario
from pvsim.errors import FileError
from pvsim.files.demo import FIRST_DEMO
from pvsim.words import known_language, languages

if TYPE_CHECKING:
    from bokeh.server.server import Server

    from pvsim.app.open_course import OpenCourse
    from pvsim.app.room.hub import Hub
    from pvsim.array.scenario import Scenario

USUAL_PORT = 5610  # the same one each time, so that a bookmark holds; another one when it is taken
MOST_PROCESSES = 64
WATCH_ms = 1000


def run(options: Namespace) -> int:
    """Serve the page until interrupted."""
    course = None
    if options.lessons is not None:
        course = _lessons(Path(options.lessons))
    return serve_page(options, course)


def serve_page(options: Namespace, course: OpenCourse | None = None, first_query: str = "") -> int:
    """Serve the page with somebody's lessons, or those of pvsim, and open it at a query."""
    log_briefly()
    scenario = open_scenario(options.source or FIRST_DEMO)
    processes = _processes(options.processes)
    hub = _hub(options.store)
    first = os.getpid()
    server = _server(
        scenario,
        options.port,
        hub,
        network=options.network,
        processes=processes,
        course=course,
        language=_language(options.language),
        names=_names(options.names),
        embedders=_embedders(options.embedders),
    )
    _spare_collector()
    server.start()
    if os.getpid() == first or _is_first_child():
        _announce(server, hub)
        if options.browser:
            server.show("/" + first_query)
    if os.getpid() != first:
        _end_with(first)
    try:
        _run(server)
    finally:
        hub.close()
    return 0


def _run(server: Server) -> None:
    """Serve until Ctrl+C or a request to end.

    The server's own way prints that it is asked to end before it does; where nobody reads what is printed
    any more, that failed, and it went on for ever.
    """
    loop: Any = server.io_loop
    if sys.platform != "win32":
        loop.asyncio_loop.add_signal_handler(signal.SIGTERM, loop.stop)
    with suppress(KeyboardInterrupt):
        loop.start()
    server.stop()


def _announce(server: Server, hub: Hub) -> None:
    lines = [f"pvsim is at http://127.0.0.1:{server.port}/ and ends with Ctrl+C"]
    if hub.network:
        from pvsim.app.network import local_addresses

        found = " or ".join(f"http://{one}:{server.port}/join" for one in local_addresses())
        if found:
            lines.append(f"Phones on this network join a class at {found}")
        else:
            lines.append("This machine is in no network yet; phones cannot reach it before it is in one")
        lines.append(
            "Caution: everybody on this network can open pvsim here. Use it on a network you trust, "
            "and end it after the class."
        )
    print("\n".join(lines), flush=True)


def _lessons(path: Path) -> OpenCourse:
    """A folder of lessons; what is not in order in it is told at once, and left out."""
    from pvsim.app.open_course import OpenCourse

    course = OpenCourse(path)
    for problem in course.course("en").problems:
        print(problem, file=sys.stderr)
    return course


def _spare_collector() -> None:
    from pvsim.app.server import collect_seldom

    collect_seldom()


def _hub(store: str | None) -> Hub:
    """What classes are held in; a store that was named is opened once now, so that a slip is told at once."""
    from pvsim.app.room.hub import Hub

    hub = Hub(store)
    if store is not None:
        hub.try_store()
    return hub


def _processes(number: int) -> int:
    if not 1 <= number <= MOST_PROCESSES:
        raise FileError(
            f"{number} processes are asked for",
            expected=f"a number from 1 to {MOST_PROCESSES}",
            mend="Leave --processes out for one",
        )
    if number > 1 and sys.platform == "win32":
        raise FileError(
            "several processes cannot share a port on Windows",
            expected="--processes 1",
            mend="Start pvsim several times, each with its own --port and the same --store",
        )
    return number


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


def _names(given: list[str]) -> list[str]:
    """Further names of the server, as they are compared."""
    from pvsim.app.door.names import read_name

    names = [read_name(one) for one in given]
    for one, name in zip(given, names, strict=True):
        if name is None:
            raise FileError(
                f"the name {short(one, 60)!r} is none",
                expected="a host's name or address without scheme, port or path",
                mend="Write for instance --name pvsim.example.org",
            )
    return [name for name in names if name]


def _embedders(given: list[str]) -> list[str]:
    """Whose pages may show pvsim in a frame."""
    from pvsim.app.door.policy import read_embedder

    origins = [read_embedder(one) for one in given]
    for one, origin in zip(given, origins, strict=True):
        if origin is None:
            raise FileError(
                f"{short(one, 60)!r} is no origin of pages",
                expected="scheme and name, with a port where it is not the usual one",
                mend="Write for instance --embed https://learn.example.org",
            )
    return [origin for origin in origins if origin]


def _server(
    scenario: Scenario,
    port: int | None,
    hub: Hub,
    *,
    network: bool,
    processes: int,
    course: OpenCourse | None,
    language: str,
    names: list[str],
    embedders: list[str],
) -> Server:
    from pvsim.app.server import create_server

    def create(number: int) -> Server:
        more: dict[str, Any] = {"num_procs": processes} if processes > 1 else {}
        return create_server(
            scenario,
            port=number,
            language=language,
            hub=hub,
            network=network,
            course=course,
            names=names,
            embedders=embedders,
            **more,
        )

    if port is not None and not 0 <= port <= 65_535:
        raise FileError(f"the port is {port}", expected="a number from 0 to 65535", mend="Leave --port out")
    try:
        return create(USUAL_PORT if port is None else port)
    except OSError as error:
        if port is None:
            return create(0)
        reason = "is in use" if error.errno == errno.EADDRINUSE else "cannot be used"
        raise FileError(
            f"port {port} {reason}",
            expected="a free port",
            mend="Leave --port out, or give --port 0 for any free one",
        ) from None


def _is_first_child() -> bool:
    from tornado.process import task_id

    return task_id() == 0


def _end_with(parent: int) -> None:
    """End this process when the one that started it is gone, however it went."""
    from tornado.ioloop import IOLoop, PeriodicCallback

    def look() -> None:
        if os.getppid() != parent:
            IOLoop.current().stop()

    PeriodicCallback(look, WATCH_ms).start()
