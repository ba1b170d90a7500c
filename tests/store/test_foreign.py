"""A file that is not ours is left as it is, and a damaged one is told in a sentence."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from random import Random

import pytest

from pvsim.errors import StoreError
from pvsim.store import open_store
from pvsim.store.tables import APPLICATION_ID

from .conftest import CHOICE


def test_the_database_of_another_program_is_refused_and_not_a_byte_of_it_changed(tmp_path):
    file = tmp_path / "photos.sqlite"
    with closing(sqlite3.connect(file)) as other:
        other.execute("CREATE TABLE photos (name TEXT)")
        other.execute("INSERT INTO photos VALUES ('kite.jpg')")
        other.commit()
    before = file.read_bytes()
    with pytest.raises(StoreError, match=r"photos\.sqlite is the database of another program") as error:
        open_store(f"sqlite:///{file}")
    assert "--store" in str(error.value)
    assert file.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["photos.sqlite"]


def test_a_file_that_another_program_has_only_marked_as_its_own_is_refused(tmp_path):
    file = tmp_path / "empty.sqlite"
    with closing(sqlite3.connect(file)) as other:
        other.execute("PRAGMA application_id=1234")
        other.commit()
    with pytest.raises(StoreError, match="another program"):
        open_store(f"sqlite:///{file}")


@pytest.mark.parametrize("content", [b"", None], ids=["empty", "none"])
def test_an_empty_file_and_one_that_is_not_there_become_a_store_that_bears_our_mark(tmp_path, content):
    file = tmp_path / "classes.sqlite"
    if content is not None:
        file.write_bytes(content)
    for _ in range(2):  # made, and opened again
        open_store(f"sqlite:///{file}").close()
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)


def test_a_store_from_before_the_mark_is_still_ours(tmp_path):
    file = tmp_path / "classes.sqlite"
    store = open_store(f"sqlite:///{file}")
    code = store.open_room("Evening class").code
    store.close()
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA application_id=0")
        connection.commit()
    again = open_store(f"sqlite:///{file}")
    assert again.look(code).title == "Evening class"
    again.close()


DAMAGE = {
    "a text that is none": "UPDATE pvsim_rooms SET title = CAST(X'97ff' AS TEXT)",
    "a sheet that is no JSON": "UPDATE pvsim_polls SET sheet = '{\"kind\": '",
    "a sheet without its choices": "UPDATE pvsim_polls SET sheet = '{}'",
    "a sheet as deep as a well": f"UPDATE pvsim_polls SET sheet = '{'[' * 20_000}'",
    "a scene that is a list": "UPDATE pvsim_rooms SET scene = '[]'",
    "a revision in words": "UPDATE pvsim_rooms SET revision = 'many'",
    "a time in words": "UPDATE pvsim_rooms SET touched_s = 'today'",
    "rounds without end": "UPDATE pvsim_polls SET round = 9000000000",
    "an answer that is no choice": "UPDATE pvsim_answers SET value = 1e300",
    "an answer in words": "UPDATE pvsim_answers SET value = 'b'",
}


@pytest.mark.parametrize("change", DAMAGE.values(), ids=DAMAGE)
def test_what_pvsim_cannot_have_written_is_told_as_damage(tmp_path, change):
    file = tmp_path / "classes.sqlite"
    store = open_store(f"sqlite:///{file}")
    code = store.open_room("Evening class").code
    poll = store.open_poll(code, CHOICE)
    store.begin_round(poll, 1)
    store.answer(poll, 1, "somebody", 1.0)
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(change)
        connection.commit()

    def look_at_all() -> None:
        store.revisions([code])
        store.look(code)
        store.tally(poll)

    with pytest.raises(StoreError, match="is no store of pvsim, or is damaged"):
        look_at_all()
    store.close()


def test_a_file_with_bytes_changed_anywhere_is_read_or_refused(tmp_path):
    from tests.fuzz.readers import READERS

    data = READERS["store"].seeds()[0]
    full = [place for place, byte in enumerate(data) if byte]
    for seed in range(60):
        chance, spoilt = Random(seed), bytearray(data)
        for _ in range(chance.choice((1, 3, 10, 60))):
            spoilt[chance.choice(full)] = chance.randrange(256)
        with suppress(StoreError):
            READERS["store"].read(bytes(spoilt), chance, tmp_path)
