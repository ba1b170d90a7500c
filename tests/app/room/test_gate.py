"""The gate, without any server."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.room import gate
from pvsim.app.room.gate import Bucket, Gate


def test_a_bucket_gives_what_it_holds_at_once_and_then_so_much_a_second():
    now = [0.0]
    bucket = Bucket(3, 2.0, lambda: now[0])
    assert [bucket.take() for _ in range(4)] == [True, True, True, False]
    now[0] += 0.5  # one more
    assert [bucket.take() for _ in range(2)] == [True, False]
    now[0] += 1000.0  # no more than it holds, however long it waited
    assert [bucket.take() for _ in range(4)] == [True, True, True, False]


@given(st.lists(st.floats(0.0, 2.0), max_size=60))
def test_no_rhythm_gets_more_out_of_a_bucket_than_its_size_and_rate(pauses):
    now = [0.0]
    bucket = Bucket(5, 3.0, lambda: now[0])
    taken = 0
    for pause in pauses:
        now[0] += pause
        taken += bucket.take()
    assert taken <= 5 + 3.0 * now[0] + 1e-9


def test_a_room_an_address_and_the_house_are_each_full_at_some_time(monkeypatch):
    monkeypatch.setattr(gate, "MAX_PHONES", 4)
    monkeypatch.setattr(gate, "MAX_IN_ROOM", 3)
    monkeypatch.setattr(gate, "MAX_FROM_ADDRESS", 2)
    door = Gate()
    assert [door.enter("A", "one") for _ in range(3)] == [True, True, False]  # the address
    assert [door.enter("A", "two") for _ in range(2)] == [True, False]  # the room
    assert [door.enter("B", name) for name in ("three", "four")] == [True, False]  # the house
    door.leave("A", "one")
    assert door.enter("B", "four")


def test_one_address_may_send_so_many_voters_and_all_of_them_again(monkeypatch):
    monkeypatch.setattr(gate, "MAX_VOTERS_FROM_ADDRESS", 2)
    door = Gate()
    assert [door.vote("A", "one", voter) for voter in "xyz"] == [True, True, False]
    assert [door.vote("A", "one", voter) for voter in "xyz"] == [True, True, False]
    assert door.vote("A", "two", "z")
    assert door.vote("B", "one", "z")


def test_what_is_remembered_is_bounded_and_forgotten_when_the_last_phone_has_left(monkeypatch):
    monkeypatch.setattr(gate, "MAX_ADDRESSES", 10)
    door = Gate()
    for number in range(50):
        door.vote("A", str(number), "x")
    assert len(door._voters) == 10
    for _ in range(2):
        door.enter("A", "one")
    door.vote("B", "one", "x")
    door.leave("A", "one")
    assert any(code == "A" for code, _ in door._voters)
    door.leave("A", "one")
    assert list(door._voters) == [("B", "one")]
    assert not door._rooms
    assert not door._addresses
