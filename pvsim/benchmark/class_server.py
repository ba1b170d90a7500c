"""The page's server for a measurement: it also says what it holds in memory.

`python -m pvsim.benchmark.class_server` serves the first demo on a free port. `/held` answers with
the number of live sessions, documents and states; `/held?end=1` first ends the sessions nobody
is connected to, as the server does by itself when they were unused for some minutes.
"""

from __future__ import annotations

import gc
import json
import time
import weakref
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bokeh.document import Document
from bokeh.server.server import Server
from tornado.web import RequestHandler

from pvsim.app.server import collect_seldom, create_server
from pvsim.app.session.state import State
from pvsim.files.demo import FIRST_DEMO, read_demo

_STATUS, _WAITS = Path("/proc/self/status"), Path("/proc/self/schedstat")


class Held(RequestHandler):
    """Tells what the process holds."""

    own_s = 0.0  # spent on counting, and no part of what is measured

    def initialize(self, server: Server, born: weakref.WeakSet[Any], kinds: dict[str, str]) -> None:
        """Remember what to count.

        Parameters
        ----------
        server : Server
        born : WeakSet
            Every object of these classes made so far, while it lives.
        kinds : dict of str to str
            What is told of, and the name of its class.
        """
        self._server, self._born, self._kinds = server, born, kinds

    async def get(self) -> None:
        """Count, after all that can be thrown away has been."""
        begin = time.process_time()
        if self.get_query_argument("end", ""):
            for context in self._server._tornado._applications.values():
                await context._cleanup_sessions(0)  # as after 0 ms without a connection
        gc.collect()
        names = [type(one).__name__ for one in self._born]
        found = {
            "sessions": len(self._server.get_sessions("/")),
            **{kind: names.count(name) for kind, name in self._kinds.items()},
            "resident_MB": resident_MB(),
            "cpu_s": begin - Held.own_s,
            "waited_s": waited_s(),
            "clock_s": time.monotonic(),
        }
        self.write(json.dumps(found))
        Held.own_s += time.process_time() - begin


def resident_MB() -> float | None:
    """Memory of this process in MB (1e6 bytes); None where the system does not say."""
    if not _STATUS.exists():
        return None
    line = next(one for one in _STATUS.read_text(encoding="ascii").splitlines() if one.startswith("VmRSS"))
    return float(line.split()[1]) * 1024 / 1e6


def waited_s() -> float | None:
    """How long this process was ready to work while others had the cores; None where nobody tells."""
    return float(_WAITS.read_text(encoding="ascii").split()[1]) / 1e9 if _WAITS.exists() else None


def count_births(*kinds: type) -> weakref.WeakSet[Any]:
    """All objects of these classes made from now on, as long as they live."""
    born: weakref.WeakSet[Any] = weakref.WeakSet()

    def counted(begin: Callable[..., None]) -> Callable[..., None]:
        def __init__(self: Any, *args: Any, **more: Any) -> None:
            begin(self, *args, **more)
            born.add(self)

        return __init__

    for kind in kinds:
        setattr(kind, "__init__", counted(getattr(kind, "__init__")))  # noqa: B009, B010
    return born


def main() -> None:
    """Serve until the process is ended."""
    born = count_births(State, Document)
    server = create_server(read_demo(FIRST_DEMO))
    held = {"server": server, "born": born, "kinds": {"states": "State", "documents": "Document"}}
    server._tornado.add_handlers(".*", [("/held", Held, held)])
    collect_seldom()  # as `pvsim serve` does
    server.start()
    print(f"http://127.0.0.1:{server.port}/", flush=True)
    server.run_until_shutdown()


if __name__ == "__main__":
    main()
