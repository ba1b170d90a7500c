"""The store: rooms, polls and answers, and what it refuses."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from pvsim.errors import StoreError
from pvsim.store import Given, open_store
from pvsim.store.ballot import MAX_VOTERS
from pvsim.store.store import MAX_ROOMS, LASTS_s

from .conftest import CHOICE, NUMBER


def test_a_class_is_asked_twice_and_both_rounds_are_counted(store, asked):
    code, poll = asked
    for voter, value in (("a", 0), ("b", 0), ("c", 1)):
        assert store.answer(poll, 1, voter, value) == "kept"
    store.end_round(poll)
    store.begin_round(poll, 2)
    assert [store.answer(poll, 2, voter, 1) for voter in ("a", "b", "c")] == ["kept"] * 3
    first, second = store.tally(poll).rounds
    assert (first.counts, first.phones) == ((2, 1, 0), 3)
    assert (second.counts, second.phones) == ((0, 3, 0), 3)
    assert store.look(code).tally == store.tally(poll)


def test_a_voter_who_answers_again_has_one_answer_the_latest(store, asked):
    _, poll = asked
    for value in (0, 1, 2):
        assert store.answer(poll, 1, "a", value) == "kept"
    assert store.tally(poll).rounds[0].counts == (0, 0, 1)
    assert store.given_by(poll, 1, "a") == 2
    assert store.given_by(poll, 1, "b") is None


def test_numbers_are_kept_as_they_were_given(store):
    poll = store.open_poll(store.open_room("").code, NUMBER)
    store.begin_round(poll, 1)
    for voter, value in (("a", 0.6789), ("b", -3.0), ("c", 0.6789)):
        assert store.answer(poll, 1, voter, value) == "kept"
    assert store.tally(poll).rounds[0].numbers == (-3.0, 0.6789, 0.6789)


def test_hands_are_kept_apart_from_phones_and_a_new_count_replaces_the_old(store, asked):
    _, poll = asked
    store.answer(poll, 1, "a", 2)
    store.hands(poll, 1, [4, 5, 6])
    store.hands(poll, 1, {1: 7})
    tally = store.tally(poll).rounds[0]
    assert (tally.counts, tally.hands, tally.phones) == ((0, 0, 1), (0, 7, 0), 1)


def test_hands_that_nobody_can_have_raised_are_refused(store, asked):
    _, poll = asked
    for counts in ([1, 2, 3, 4], {7: 1}, [-1], ["2"], [10**9], [1.5]):
        with pytest.raises(StoreError, match="hands cannot be counted"):
            store.hands(poll, 1, counts)
        assert store.tally(poll).rounds[0].hands == (0, 0, 0), counts


def test_an_answer_after_the_round_is_not_taken(store, asked):
    code, poll = asked
    store.answer(poll, 1, "a", 0)
    store.end_round(poll)
    assert store.answer(poll, 1, "a", 1) == "closed"
    store.begin_round(poll, 2)
    assert store.answer(poll, 1, "a", 1) == "closed"
    later = store.open_poll(code, CHOICE)
    assert store.answer(poll, 2, "a", 1) == "closed"
    assert store.answer(later, 1, "a", 1) == "closed"  # asked, but its round has not begun
    assert store.tally(poll).rounds[0].counts == (1, 0, 0)


def test_a_value_that_is_no_choice_is_not_taken(store, asked):
    code, poll = asked
    before = store.revision(code)
    for value in (3, -1, 0.5, True, "1", None, [1], {}, float("nan"), 1e400, 10**40):
        assert store.answer(poll, 1, "a", value) == "wrong", value
        assert store.tally(poll).rounds[0].phones == 0, value
        assert store.revision(code) == before, value


def test_a_poll_that_is_not_there_takes_nothing_and_harms_no_other_answer(store, asked):
    _, real = asked
    for voter, poll in enumerate((0, -1, 99, 2**31, 10**30, True, "1", None, 1.0)):
        stray = Given(poll=poll, round=1, voter="a", value=0)
        given = Given(poll=real, round=1, voter=f"b{voter}", value=0)
        assert store.answer_all([stray, given]) == ("unknown", "kept"), poll
        assert store.tally(real).rounds[0].phones == voter + 1, poll


def test_words_of_sql_are_words(store, asked):
    _, poll = asked
    code = store.open_room("'); DROP TABLE pvsim_answers; --\0").code
    assert store.look(code).title == "'); DROP TABLE pvsim_answers; --"
    assert store.answer(poll, 1, "x'; DELETE FROM pvsim_answers; --", 0) == "kept"
    assert store.look("' OR 1=1 --") is None
    assert store.tally(poll).rounds[0].phones == 1


def test_one_voter_too_many_is_told_so_and_those_who_are_in_may_still_change(store, asked):
    _, poll = asked
    crowd = [Given(poll=poll, round=1, voter=f"v{one}", value=0) for one in range(MAX_VOTERS + 2)]
    outcomes = store.answer_all([*crowd, crowd[-1]])
    assert outcomes.count("kept") == MAX_VOTERS
    assert outcomes[-3:] == ("full", "full", "full")
    assert store.answer(poll, 1, "v0", 1) == "kept"
    assert store.answer(poll, 1, "late", 1) == "full"
    assert store.tally(poll).rounds[0].counts == (MAX_VOTERS - 1, 1, 0)


def test_the_revision_rises_with_every_write_of_that_room_alone(store, asked):
    code, poll = asked
    other = store.open_room("Another").code
    still = store.revision(other)
    seen = [store.revision(code)]
    for write in (
        lambda: store.answer(poll, 1, "a", 0),
        lambda: store.hands(poll, 1, [1]),
        lambda: store.show(code, {"step": "x"}),
        lambda: store.end_round(poll),
        lambda: store.begin_round(poll, 2),
        lambda: store.open_poll(code, CHOICE),
        lambda: store.close_room(code),
    ):
        write()
        seen.append(store.revision(code))
    assert seen == sorted(set(seen))
    assert store.revision(other) == still
    assert store.revision("AAAAA") == 0


def test_a_closed_room_takes_nothing(store, asked):
    code, poll = asked
    store.close_room(code)
    assert not store.look(code).open
    assert store.answer(poll, 1, "a", 0) == "unknown"
    for write in (
        lambda: store.show(code, {}),
        lambda: store.open_poll(code, CHOICE),
        lambda: store.begin_round(poll, 2),
        lambda: store.close_room(code),
    ):
        with pytest.raises(StoreError, match="is not open"):
            write()


def test_a_room_left_alone_closes_by_itself(store, asked, clock):
    code, poll = asked
    clock.now += LASTS_s - 1
    assert store.answer(poll, 1, "a", 0) == "kept"  # which keeps it open
    clock.now += LASTS_s - 1
    assert store.look(code).open
    clock.now += 2
    assert not store.look(code).open
    assert store.answer(poll, 1, "b", 0) == "unknown"


def test_only_the_lecturer_s_key_opens_the_room_and_the_file_does_not_hold_it(file_store, file):
    store = file_store
    room = store.open_room("Mine")
    other = store.open_room("Another")
    assert store.holds(room.code, room.key)
    assert not store.holds(room.code, other.key)
    assert not store.holds(room.code, "")
    assert room.key not in repr(room)
    store.close()
    data = b"".join(path.read_bytes() for path in file.parent.iterdir())
    assert room.code.encode() in data
    assert room.key.encode() not in data


def test_voters_are_kept_as_digests_that_differ_from_poll_to_poll(file_store, file):
    store = file_store
    code = store.open_room("").code
    poll = store.open_poll(code, CHOICE)
    store.begin_round(poll, 1)
    store.answer(poll, 1, "my-token", 0)
    later = store.open_poll(code, CHOICE)
    store.begin_round(later, 1)
    store.answer(later, 1, "my-token", 0)
    with closing(sqlite3.connect(file)) as connection:
        voters = [row[0] for row in connection.execute("SELECT voter FROM pvsim_answers")]
    assert len(set(voters)) == 2
    assert "my-token" not in voters


def test_open_classes_are_bounded(store, monkeypatch):
    monkeypatch.setattr("pvsim.store.store.MAX_ROOMS", 3)
    assert MAX_ROOMS >= 100
    rooms = [store.open_room("") for _ in range(3)]
    with pytest.raises(StoreError, match="3 classes are open"):
        store.open_room("")
    store.close_room(rooms[0].code)
    assert store.open_room("").code not in {room.code for room in rooms}


def test_a_code_that_is_taken_is_not_given_twice(store, monkeypatch):
    codes = iter(["AAAAA", "AAAAA", "AAAAA", "CCCCC"])
    monkeypatch.setattr("pvsim.store.store.new_code", lambda: next(codes))
    assert [store.open_room("").code, store.open_room("").code] == ["AAAAA", "CCCCC"]


def test_a_sheet_that_asks_nothing_is_refused(store):
    code = store.open_room("").code
    for sheet in (
        None,
        {},
        CHOICE | {"kind": "essay"},
        CHOICE | {"choices": ["only one"]},
        CHOICE | {"choices": ["x"] * 13},
        CHOICE | {"choices": [1, 2]},
        CHOICE | {"kind": "number"},
        CHOICE | {"right": 1},
        CHOICE | {"question": "x" * 40_000},
        CHOICE | {"question": 7},
    ):
        with pytest.raises(StoreError, match="the sheet"):
            store.open_poll(code, sheet)
        assert store.look(code).poll is None, sheet


def test_a_scene_that_is_no_plain_json_is_refused_and_the_last_one_stays(store):
    code = store.open_room("").code
    store.show(code, {"step": "first"})
    for scene in (None, [], {"x": object()}, {"x": float("nan")}, {"x": "y" * 200_000}):
        with pytest.raises(StoreError, match="plain JSON"):
            store.show(code, scene)
        assert store.look(code).scene == {"step": "first"}, scene


def test_what_was_kept_is_there_when_the_store_is_opened_again(store, asked, store_url):
    code, poll = asked
    store.answer(poll, 1, "a", 2)
    store.close()
    again = open_store(store_url)
    assert again.tally(poll).rounds[0].counts == (0, 0, 1)
    assert again.revision(code) > 0
    again.close()


def test_a_copy_of_the_file_made_after_a_class_is_a_whole_backup(file_store, tmp_path):
    store = file_store
    code = store.open_room("").code
    poll = store.open_poll(code, CHOICE)
    store.begin_round(poll, 1)
    for voter in range(50):
        store.answer(poll, 1, f"v{voter}", voter % 3)
    store.close_room(code)
    copy = tmp_path / "copy.sqlite"
    copy.write_bytes((tmp_path / "classes.sqlite").read_bytes())  # while the store is open
    backup = open_store(f"sqlite:///{copy}")
    assert backup.tally(poll) == store.tally(poll)
    assert backup.tally(poll).rounds[0].phones == 50
    backup.close()


def test_the_file_is_its_owner_s_alone_and_written_through_to_the_disk(file_store, file):
    assert file.stat().st_mode & 0o077 == 0
    with file_store._engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2  # FULL
