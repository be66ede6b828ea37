"""The tables of the journal, for SQLite in a folder and for a database of a company alike."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlalchemy import Table

SCHEMA = 1  # of the journal; kept in SQLite's user_version
NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


@cache
def events() -> Table:
    """The one table: append-only events, numbered without a gap for each feature."""
    from sqlalchemy import CheckConstraint, Column, DateTime, Integer, MetaData, String, Table, Text, UniqueConstraint
    from sqlalchemy.types import TypeDecorator

    class Utc(TypeDecorator[datetime]):
        """A time that goes in and comes out in UTC, also where the database keeps no zone."""

        impl = DateTime(timezone=True)
        cache_ok = True

        def process_bind_param(self, value: datetime | None, dialect: Any) -> datetime | None:
            if value is not None and value.tzinfo is None:
                raise ValueError("a time needs its zone")
            return None if value is None else value.astimezone(UTC)

        def process_result_value(self, value: datetime | None, dialect: Any) -> datetime | None:
            return None if value is None else value.replace(tzinfo=value.tzinfo or UTC).astimezone(UTC)

    return Table(
        "events",
        MetaData(naming_convention=NAMES),
        Column("id", Integer, primary_key=True),
        Column("feature", String(64), nullable=False),
        Column("seq", Integer, nullable=False),
        Column("at", Utc, nullable=False),
        Column("kind", String(20), nullable=False),
        Column("subject", String(500), nullable=False),
        Column("before", Text, nullable=False),
        Column("after", Text, nullable=False),
        Column("who", String(500), nullable=False),
        Column("digest", String(64), nullable=False),
        UniqueConstraint("feature", "seq"),
        CheckConstraint("seq >= 1", name="seq_from_one"),
    )
