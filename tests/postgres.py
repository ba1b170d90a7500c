"""A PostgreSQL of the tests' own: from Debian's package, on a socket of its own, run by no important user."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from pathlib import Path

__all__ = ["Postgres", "find_postgres"]

PLACES = "/usr/lib/postgresql/*/bin"  # where Debian puts what only a server's owner calls
USERS = ("postgres", "nobody")  # a server refuses to be run by root


def find_postgres() -> Path | None:
    """The folder with `initdb` and `pg_ctl`; None where there is none."""
    found = shutil.which("initdb")
    folders = [Path(found).resolve().parent] if found else []
    folders += sorted(Path("/").glob(PLACES.lstrip("/")), reverse=True)
    return next((one for one in folders if (one / "initdb").exists() and (one / "pg_ctl").exists()), None)


class Postgres:
    """A running server; nothing of it is left after `stop`.

    Parameters
    ----------
    programs : Path
        The folder with `initdb` and `pg_ctl`.
    """

    def __init__(self, programs: Path) -> None:
        self._programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pvsim-pg-", dir="/tmp"))  # a socket's path must be short
        self.user: str | None = None
        if os.getuid() == 0:
            known = {one.pw_name: one for one in pwd.getpwall()}
            owner = next(known[name] for name in USERS if name in known)
            self.user = owner.pw_name
            os.chown(self.folder, owner.pw_uid, owner.pw_gid)
        self._data = self.folder / "data"
        self._run("initdb", "-D", self._data, "-A", "trust", "-U", "pvsim", "-E", "UTF8", "--no-locale", "-N")
        self.start()
        self._guard = self._watch_over()

    def start(self) -> None:
        """Start, and wait until it answers."""
        # No machine loses its power here, only processes are killed; so the disk need not be waited for.
        settings = f"-k {self.folder} -c listen_addresses='' -c max_connections=60 -c fsync=off"
        self._run("pg_ctl", "-D", self._data, "-o", settings, "-l", self.folder / "log", "-w", "start")

    def halt(self, mode: str = "fast") -> None:
        """Stop serving; `start` goes on with the same data."""
        self._run("pg_ctl", "-D", self._data, "-m", mode, "-w", "stop")

    def new_url(self) -> str:
        """The URL of its database, emptied."""
        import psycopg

        with psycopg.connect(host=str(self.folder), user="pvsim", dbname="postgres", autocommit=True) as link:
            link.execute("SET lock_timeout = '10s'")
            link.execute("SET client_min_messages = error")
            link.execute("DROP SCHEMA public CASCADE")
            link.execute("CREATE SCHEMA public")
        return f"postgresql+psycopg://pvsim@/postgres?host={self.folder}"

    def stop(self) -> None:
        """End the server and remove its files."""
        assert self._guard.stdin is not None
        self._guard.stdin.close()
        assert self._guard.wait(60) == 0
        shutil.rmtree(self.folder, ignore_errors=True)

    def _watch_over(self) -> subprocess.Popen[bytes]:
        """A process that ends the server once this one is gone, even if it was killed: its pipe then ends."""
        stop = f"{self._programs / 'pg_ctl'} -D {self._data} -m immediate -w stop"
        return subprocess.Popen(
            ["/bin/sh", "-c", f"cat; {stop}; rm -rf {self.folder}/*"],
            user=self.user,
            cwd="/",
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def _run(self, program: str, *arguments: object) -> None:
        done = subprocess.run(
            [str(self._programs / program), *map(str, arguments)],
            user=self.user,
            cwd=self.folder,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL if program == "pg_ctl" else subprocess.PIPE,  # a server keeps its pipe
            stderr=subprocess.STDOUT,
            timeout=120,
            check=False,
            env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"},
        )
        assert done.returncode == 0, f"{program}: {(done.stdout or b'').decode()}"
