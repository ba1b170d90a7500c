"""The connection to the store's database, and what is said when it does not work."""

from __future__ import annotations

import errno
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import URL, Connection, Engine
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from pvsim.errors import StoreError
from pvsim.store.place import file_of, in_words
from pvsim.store.row import Damaged
from pvsim.store.tables import APPLICATION_ID, FORMAT, about, metadata
from pvsim.words import mark

__all__ = ["PATIENCE_s", "gather", "make_engine", "prepare", "reading", "writing"]

PATIENCE_s = 3.0  # for a lock that another program holds
WRITES = "pvsim_writes"
MAKING = 5610_5611  # the lock under which one of several processes makes the tables in PostgreSQL


def make_engine(url: URL) -> Engine:
    """An engine for the URL; nothing is opened yet.

    Raises
    ------
    StoreError
        If the database's driver is not installed.
    """
    file = file_of(url)
    if file is not None:
        engine = sa.create_engine(url.set(database=str(file)), connect_args={"timeout": PATIENCE_s})
        sa.event.listen(engine, "connect", _set_up_sqlite)
        sa.event.listen(engine, "begin", _begin_sqlite)
        return engine
    # A database that stands still must not hold up a lecture: every wait for it is bounded.
    limit_ms = int(1000 * PATIENCE_s)
    settings = f"-c lock_timeout={limit_ms} -c statement_timeout={2 * limit_ms} -c synchronous_commit=on"
    try:
        return sa.create_engine(
            url, pool_pre_ping=True, connect_args={"connect_timeout": 5, "options": settings}
        )
    except ModuleNotFoundError as error:
        raise StoreError(
            mark("the package {package} is not installed"),
            expected=mark("the driver of the store's database"),
            mend=mark("Install it with: pip install 'pvsim[class]'"),
            package=error.name,
        ) from None


def prepare(engine: Engine) -> None:
    """Make file and tables where they are missing.

    Raises
    ------
    StoreError
        If that cannot be done, or if another version of pvsim made them otherwise.
    """
    file = file_of(engine.url)
    if file is not None:
        _make_file(file)
        if file.is_file():
            with told(engine):
                _refuse_foreign(file)
    with writing(engine) as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(sa.select(sa.func.pg_advisory_xact_lock(MAKING)))
        metadata.create_all(connection)
        if engine.dialect.name == "sqlite":
            connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
        found = connection.execute(sa.select(about.c.format)).scalars().all()
        if not found:
            connection.execute(sa.insert(about).values(format=FORMAT))
        elif found != [FORMAT]:
            if not all(isinstance(one, int) for one in found):
                raise Damaged("format")
            raise StoreError(
                mark("{place} was made by another version of pvsim"),
                expected=mark("a store of format {format}, found {found}"),
                mend=mark("Name another with --store"),
                place=in_words(engine.url),
                format=FORMAT,
                found=found[0],
            )


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """One look at the database, in which nothing changes meanwhile."""
    with told(engine), engine.connect() as connection, connection.begin():
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """One change of the database, whole and on disk once this has been left, or not made at all."""
    with told(engine), engine.connect() as plain:
        connection = plain.execution_options(**{WRITES: True})
        with connection.begin():
            yield connection


def gather(engine: Engine) -> None:
    """Bring all that was written into the one file, so that a copy of it is a whole backup.

    SQLite keeps what is new in a file beside it, for a while or until the last program has closed it.
    """
    if engine.dialect.name != "sqlite":
        return
    with suppress(SQLAlchemyError, sqlite3.Error), closing(engine.raw_connection()) as connection:
        connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")  # later, if somebody is reading


@contextmanager
def told(engine: Engine) -> Iterator[None]:
    """Turn what the database says into one clear sentence."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error, OSError, UnicodeDecodeError, Damaged) as error:
        raise _sentence(error, in_words(engine.url)) from error


TROUBLES = (  # what the driver says; what was wrong, what was expected, how to mend it
    (
        ("database is locked", "lock timeout", "statement timeout"),
        mark("the store {place} is locked by another program"),
        mark("a lock of at most {patience_s:g} s"),
        mark("Close the program that has it open"),
    ),
    (
        ("disk is full", "no space left", "disk i/o error", "disk quota", "could not extend"),
        mark("the store {place} cannot be written: its disk is full"),
        mark("room for some more answers"),
        mark("Free some space; what was kept so far is safe"),
    ),
    (
        ("readonly", "read-only", "permission denied", "unable to open"),
        mark("the store {place} cannot be opened for writing"),
        mark("a folder that is there and that you may write to"),
        mark("Name another store with --store"),
    ),
    (
        ("password", "authentication", "role "),
        mark("the store {place} does not let pvsim in"),
        mark("the name and password of somebody who may write there"),
        mark("Look at the address given with --store"),
    ),
    (
        ("not a database", "malformed", "not decode", "no such column", "no such table", "does not exist"),
        mark("{place} is no store of pvsim, or is damaged"),
        mark("a file or database that pvsim made"),
        mark("Take back a copy, or name another with --store"),
    ),
    (
        ("",),  # anything else
        mark("the store {place} does not answer"),
        mark("a file or a database server that can be reached"),
        mark("Look whether it runs, and whether its address is right"),
    ),
)


def _sentence(error: Exception, place: str) -> StoreError:
    said = str(error.orig if isinstance(error, DBAPIError) else error).lower()
    if isinstance(error, UnicodeDecodeError | Damaged):  # a text that is none, or says nothing
        said = "malformed"
    if isinstance(error, OSError) and error.errno != errno.ENOSPC:
        said = "unable to open"  # the file, while it was being made
    wrong, expected, mend = next(texts for marks, *texts in TROUBLES if any(one in said for one in marks))
    return StoreError(wrong, expected=expected, mend=mend, place=place, patience_s=PATIENCE_s)


def _make_file(file: Path) -> None:
    """A file that only its owner reads, in a folder that is there."""
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with suppress(FileExistsError):
            file.touch(mode=0o600, exist_ok=False)
    except OSError as error:
        raise _sentence(error, str(file)) from error


def _refuse_foreign(file: Path) -> None:
    """Refuse a database that somebody else's program made, before a single byte of it is changed."""
    address, names = f"{file.absolute().as_uri()}?mode=ro", "SELECT name FROM sqlite_master"
    with closing(sqlite3.connect(address, uri=True, timeout=PATIENCE_s)) as connection:
        (made_by,) = connection.execute("PRAGMA application_id").fetchone()
        tables = {name for (name,) in connection.execute(names)}
    if made_by == APPLICATION_ID or about.name in tables or not (tables or made_by):
        return
    raise StoreError(
        mark("{place} is the database of another program"),
        expected=mark("a store that pvsim made, or a file that is not there yet"),
        mend=mark("Name another with --store"),
        place=str(file),
    )


def _set_up_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions are begun by _begin_sqlite
    cursor = connection.cursor()
    try:
        cursor.execute("PRAGMA foreign_keys=ON")
        cursor.execute("PRAGMA synchronous=FULL")  # on disk before an answer is acknowledged
        end = time.monotonic() + PATIENCE_s
        # The change to WAL does not wait for others by itself; two servers may start at the same moment.
        while cursor.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            try:
                cursor.execute("PRAGMA journal_mode=WAL")
            except sqlite3.OperationalError:
                if time.monotonic() > end:
                    raise
                time.sleep(0.02)
    finally:
        cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    # A change that began by reading could be refused half way, when another one came first.
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
