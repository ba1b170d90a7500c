"""The store: rooms, polls and their answers, on disk before anybody is told that they are kept.

One SQLite file by default; a PostgreSQL database, named by its URL, when many servers share a class.
It knows plain values only: no course, no page. No names are kept, and nothing that tells who answered.
"""

from pvsim.store.outcome import Given, Outcome
from pvsim.store.place import default_url
from pvsim.store.room import Room, RoomState
from pvsim.store.store import Store, open_store
from pvsim.store.tally import RoundTally, Tally

__all__ = [
    "Given",
    "Outcome",
    "Room",
    "RoomState",
    "RoundTally",
    "Store",
    "Tally",
    "default_url",
    "open_store",
]
