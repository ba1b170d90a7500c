"""Answers into the tables: what is taken, and what is not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from pvsim.store.outcome import Given, Outcome
from pvsim.store.room import digest
from pvsim.store.row import read_sheet
from pvsim.store.sheet import fits
from pvsim.store.tables import answers, polls, rooms

__all__ = ["MAX_VOTERS", "keep"]

MAX_VOTERS = 1000  # for one round; a lecture hall's worth
LARGEST_ID = 2**31 - 1  # of a PostgreSQL integer


def keep(
    connection: Connection,
    given: Sequence[Given],
    *,
    open_now: tuple[sa.ColumnElement[bool], ...],
    now: float,
) -> tuple[Outcome, ...]:
    """Write those answers that may be taken.

    Parameters
    ----------
    connection : Connection
        In a transaction that writes.
    given : sequence of Given
        In the order they came in; a later answer of a voter replaces an earlier one.
    open_now : tuple of condition
        What an open room fulfils.
    now : float
        Seconds since 1970.

    Returns
    -------
    tuple of Outcome
        One for each answer.
    """
    outcomes: list[Outcome] = ["unknown"] * len(given)
    asked = _lock(connection, {one.poll for one in given if _is_id(one.poll)}, open_now)
    fresh: dict[tuple[int, int], dict[str, float]] = {}  # poll, round -> voter -> value
    voters = [digest(one.poll, one.voter) for one in given]
    for place, one in enumerate(given):
        row = asked.get(one.poll) if _is_id(one.poll) else None
        if row is None:
            continue
        if not row.asking or row.round != one.round:
            outcomes[place] = "closed"
        elif not fits(read_sheet(row.sheet), one.value):
            outcomes[place] = "wrong"
        else:
            outcomes[place] = "kept"
            fresh.setdefault((one.poll, one.round), {})[voters[place]] = float(one.value)
    for (poll, number), ballots in fresh.items():
        for who in _beyond(connection, poll, number, ballots):
            del ballots[who]
            outcomes = ["full" if one == who else was for one, was in zip(voters, outcomes, strict=True)]
        _write(connection, poll, number, ballots)
    touched = {asked[poll].room for (poll, _), ballots in fresh.items() if ballots}
    for code in sorted(touched):
        change = {"revision": rooms.c.revision + 1, "touched_s": now}
        connection.execute(sa.update(rooms).where(rooms.c.code == code).values(change))
    return tuple(outcomes)


def _is_id(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 < value <= LARGEST_ID


def _lock(
    connection: Connection, ids: set[int], open_now: tuple[sa.ColumnElement[bool], ...]
) -> dict[int, Any]:
    """The polls of open rooms, whose rows are held until the end: no round ends in the middle."""
    codes = connection.execute(sa.select(polls.c.room).where(polls.c.id.in_(ids)).distinct()).scalars().all()
    held = (
        sa.select(rooms.c.code)
        .where(rooms.c.code.in_(codes), *open_now)
        .order_by(rooms.c.code)  # always in one order, so that two servers never wait for each other
        .with_for_update()
    )
    still_open = connection.execute(held).scalars().all()
    found = sa.select(polls).where(polls.c.id.in_(ids), polls.c.room.in_(still_open))
    return {row.id: row for row in connection.execute(found)}


def _beyond(connection: Connection, poll: int, number: int, voters: dict[str, Any]) -> list[str]:
    """The voters that are too many."""
    here = (answers.c.poll == poll, answers.c.round == number)
    count = connection.execute(sa.select(sa.func.count()).select_from(answers).where(*here)).scalar_one()
    if count + len(voters) <= MAX_VOTERS:
        return []
    known = set(
        connection.execute(sa.select(answers.c.voter).where(*here, answers.c.voter.in_(voters))).scalars()
    )
    new = [who for who in voters if who not in known]
    return new[max(0, MAX_VOTERS - count) :]


def _write(connection: Connection, poll: int, number: int, values: dict[str, float]) -> None:
    if not values:
        return
    here = (answers.c.poll == poll, answers.c.round == number, answers.c.voter.in_(values))
    connection.execute(sa.delete(answers).where(*here))
    rows = [
        {"poll": poll, "round": number, "voter": who, "value": value} for who, value in values.items()
    ]
    connection.execute(sa.insert(answers), rows)
