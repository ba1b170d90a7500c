"""A class that follows a link at once: pages with all their scripts, opened within some seconds.

Run as a process of its own, `python -m pvsim.benchmark.rush URL COUNT SECONDS`. It says so on a line, waits
for a line, opens the pages, says how long each took, waits, and leaves.
"""

from __future__ import annotations

import asyncio
import sys
from random import Random

from tornado.httpclient import AsyncHTTPClient

from pvsim.benchmark.student import PATIENCE_s, Student, enter, tell


async def rush(url: str, count: int, seconds: float) -> None:
    """Open the pages, each at a moment of its own within so many seconds."""
    random = Random(count)

    async def come() -> tuple[Student, float]:
        await asyncio.sleep(random.uniform(0.0, seconds))
        client = AsyncHTTPClient(force_instance=True)  # a browser of its own, with nothing in it
        begin = asyncio.get_running_loop().time()
        student, _ = await enter(url, client)  # with all scripts that its page names
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
