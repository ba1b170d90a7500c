"""A class's server for a measurement: each session is a lecturer who opens a class and asks for a number.

`python -m pvsim.benchmark.poll_server` serves on a free port, with a store in a folder that is removed at the
end. The page shows the class's code and the numbers given so far. `/held` tells what is held in memory.
"""

from __future__ import annotations

import asyncio
import secrets
import tempfile
from pathlib import Path
from typing import Any

import panel as pn
from bokeh.document import Document
from tornado.ioloop import IOLoop

from pvsim.app.long_address import long_addresses
from pvsim.app.mends.door import Door
from pvsim.app.mends.routes import guard
from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.app.room.phone import PhoneSocket
from pvsim.app.room.routes import class_routes
from pvsim.app.server import collect_seldom
from pvsim.benchmark.class_server import Held, count_births

SHEET = {
    "lesson": "measurement",
    "step": "number",
    "question": "<p>How many volts does one cell deliver?</p>",
    "kind": "number",
    "unit": "V",
}


def main() -> None:
    """Serve until the process is ended."""
    asyncio.set_event_loop(asyncio.new_event_loop())
    born = count_births(PhoneSocket, Document)
    with tempfile.TemporaryDirectory() as folder:
        hub = Hub(f"sqlite:///{Path(folder) / 'classes.sqlite'}")

        html: Any = pn.pane.HTML  # typed in part only

        def lecturer() -> Any:
            room = Classroom(hub, pn.state.curdoc)
            room.open("Measurement")
            room.ask(SHEET)
            board = html(f"code {room.code}.")

            def draw() -> None:
                tally = room.tally()
                numbers = tally.rounds[0].numbers if tally and tally.rounds else ()
                board.object = f"code {room.code}. " + " ".join(f"n{one:.3f}n" for one in numbers)

            room.watch(draw)
            return board

        routes = class_routes(hub)
        server = pn.io.server.get_server(
            {"/": lecturer},
            address="127.0.0.1",
            loop=IOLoop.current(),
            extra_patterns=routes,
            secret_key=secrets.token_bytes(32),
            sign_sessions=True,
        )
        # As the page of pvsim itself is served: sent at once, and whole after a gap.
        guard(server, Door(), own=tuple(handler for _, handler, _ in routes), first=long_addresses(hub))
        kinds = {"phones": "PhoneSocket", "documents": "Document"}
        held = {"server": server, "born": born, "kinds": kinds}
        server._tornado.add_handlers(".*", [("/held", Held, held)])
        collect_seldom()
        server.start()
        print(f"http://127.0.0.1:{server.port}/", flush=True)
        server.run_until_shutdown()


if __name__ == "__main__":
    main()
