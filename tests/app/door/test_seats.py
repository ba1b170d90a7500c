"""Seats: who may open pages, and which sessions make room."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.app.door import seats
from pvsim.app.door.seats import AT_ONCE, MOST_FROM_ADDRESS, MOST_SESSIONS, MOST_UNCONNECTED, Seats, to_let_go


@dataclass(frozen=True)
class Session:
    name: int
    connection_count: int
    milliseconds_since_last_unsubscribe: float
    known: bool


def test_an_address_may_open_many_pages_at_once_and_then_some_a_second():
    now = 0.0
    door = Seats(lambda: now)
    assert [door.may_open("a") for _ in range(AT_ONCE + 1)] == [True] * AT_ONCE + [False]
    assert door.may_open("b")  # others do not wait
    now = 1.0
    assert door.may_open("a")


def test_ever_new_addresses_take_no_memory(monkeypatch):
    monkeypatch.setattr(seats, "MOST_ADDRESSES", 10)
    door = Seats()
    assert all(door.may_open(f"a{k}") for k in range(1000))
    assert len(door._buckets) == 10


def test_an_address_has_so_many_pages_and_one_that_closes_makes_room():
    door = Seats()
    assert all(door.sit("a") for _ in range(MOST_FROM_ADDRESS))
    assert not door.sit("a")
    assert door.sit("b")
    door.leave("a")
    assert door.sit("a")


def test_of_sessions_nobody_connected_to_the_oldest_goes():
    sessions = [Session(k, 0, 1000.0 - k, known=False) for k in range(MOST_UNCONNECTED)]
    assert [one.name for one in to_let_go(sessions, lambda one: one.known)] == [0]
    assert to_let_go(sessions[1:], lambda one: one.known) == []


def test_a_page_whose_network_is_away_stays_while_there_is_room():
    """A class's wireless network goes away and comes back: nobody's work is let go of."""
    away = [Session(k, 0, 1000.0, known=True) for k in range(MOST_SESSIONS - 1)]
    assert to_let_go(away, lambda one: one.known) == []


def test_when_all_seats_are_taken_the_one_longest_away_goes_and_no_open_page():
    sessions = [Session(k, 1, 9e9, known=True) for k in range(MOST_SESSIONS - 2)]
    sessions += [Session(901, 0, 5.0, known=True), Session(902, 0, 7.0, known=True)]
    assert [one.name for one in to_let_go(sessions, lambda one: one.known)] == [902]
    assert to_let_go(sessions[:-2] * 2, lambda one: one.known) == []
