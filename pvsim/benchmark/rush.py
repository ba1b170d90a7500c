"""A class that follows a link at once: pages with all their scripts, opened within some seconds.

Run as a process of its own, `python -m pvsim.benchmark.rush URL COUNT SECONDS`. It says so on a line, waits
for a line, opens the pages, says how long each took, waits, and leaves.
"""

from __future__ import annotations

import asyncio
import re
import sys
from random import Random
from urllib.parse import urljoin

from tornado.httpclient import AsyncHTTPClient, HTTPRequest

from pvsim.benchmark.student import PATIENCE_s, Student, enter, tell

_SCRIPTS = re.compile(r'"esm"\s*:\s*"([^"]+\.js)"')
_IMPORTS = re.compile(r'^(?:import|export)\b[^"]*?"([^"\n]+\.js)"', re.MULTILINE)


async def fetch_modules(client: AsyncHTTPClient, url: str, document: str) -> None:
    """The modules that a document names, with all that they import; each once, as a browser does."""
    waiting = [urljoin(url, one) for one in set(_SCRIPTS.findall(document))]
    known = set(waiting)
    while waiting:
        address = waiting.pop()
        answer = await client.fetch(HTTPRequest(address, request_timeout=PATIENCE_s))
        found = {urljoin(address, one) for one in _IMPORTS.findall(answer.body.decode())} - known
        known |= found
        waiting += found


async def rush(url: str, count: int, seconds: float) -> None:
    """Open the pages, each at a moment of its own within so many seconds."""
    random = Random(count)

    async def come() -> tuple[Student, float]:
        await asyncio.sleep(random.uniform(0.0, seconds))
        client = AsyncHTTPClient(force_instance=True)  # a browser of its own, with nothing in it
        begin = asyncio.get_running_loop().time()
        student, _ = await enter(url, client)
        await fetch_modules(client, url, student.document)
        client.close()
        return student, asyncio.get_running_loop().time() - begin

    await tell({"opened_s": []})
    students = await asyncio.gather(*(come() for _ in range(count)))
    await tell({"replies_s": [took for _, took in students]})
    for one, _ in students:
        one.leave()
        while await asyncio.wait_for(one.socket.read_message(), PATIENCE_s) is not None:
            pass  # what was on its way; then the server has closed it too


if __name__ == "__main__":
    asyncio.run(rush(sys.argv[1], int(sys.argv[2]), float(sys.argv[3])))
