"""The tables of the store."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Float, ForeignKey, Integer, MetaData, String, Table, Text

__all__ = ["APPLICATION_ID", "FORMAT", "about", "answers", "hands", "metadata", "polls", "rooms"]

FORMAT = 1  # of the tables; a store of another format is refused
APPLICATION_ID = 0x7076736D  # "pvsm" in the head of a SQLite file: one that pvsim made

metadata = MetaData()

about = Table("pvsim_about", metadata, Column("format", Integer, primary_key=True, autoincrement=False))

rooms = Table(
    "pvsim_rooms",
    metadata,
    Column("code", String(8), primary_key=True),
    Column("key", String(64), nullable=False),  # a digest
    Column("title", Text, nullable=False),
    Column("opened_s", Float, nullable=False),  # since 1970, as all times here
    Column("touched_s", Float, nullable=False),
    Column("closed_s", Float),
    Column("revision", Integer, nullable=False),
    Column("scene", Text, nullable=False),
)

polls = Table(
    "pvsim_polls",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("room", ForeignKey(rooms.c.code), nullable=False, index=True),
    Column("sheet", Text, nullable=False),
    Column("asked_s", Float, nullable=False),
    Column("round", Integer, nullable=False),  # the latest one; 0 before the first
    Column("asking", Boolean, nullable=False),
    sqlite_autoincrement=True,  # an id is never used again, so that a late answer meets no other poll
)

answers = Table(
    "pvsim_answers",
    metadata,
    Column("poll", ForeignKey(polls.c.id), primary_key=True),
    Column("round", Integer, primary_key=True, autoincrement=False),
    Column("voter", String(64), primary_key=True),  # a digest
    Column("value", Float(53), nullable=False),
)

hands = Table(
    "pvsim_hands",
    metadata,
    Column("poll", ForeignKey(polls.c.id), primary_key=True),
    Column("round", Integer, primary_key=True, autoincrement=False),
    Column("choice", Integer, primary_key=True, autoincrement=False),
    Column("count", Integer, nullable=False),
)
