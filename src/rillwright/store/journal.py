"""The journal of a job: a file of SQLite beside the folder's files, whole whenever it is copied."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rillwright.errors import OutputError
from rillwright.store.event import DamagedJournal, Event, NewEvent
from rillwright.store.tables import SCHEMA, events

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine


_COMPILED: dict[Any, Any] = {}  # the few statements there are, compiled once for all journals


class Journal:
    """Append-only events. One rollback file at most lies beside it, and none between two events."""

    def __init__(self, engine: Engine, *, feature: str, file: Path | None = None) -> None:
        self._engine = engine
        self._feature = feature
        self._file = file

    @classmethod
    def open(cls, file: Path, *, feature: str) -> Journal:
        """Open the journal of `feature` in `file`, or begin one there, and check that it hangs together.

        Raises
        ------
        DamagedJournal
            If it is no journal, was written by a later version, or has a gap.
        OutputError
            If the disk does not let it be read or written.
        """
        journal = cls(_engine(file), feature=feature, file=file)
        try:
            with journal._begin() as connection:
                _prepare(connection, file)
                journal._check(connection)
        except BaseException:
            journal.close()
            raise
        return journal

    @classmethod
    def on(cls, engine: Engine, *, feature: str) -> Journal:
        """The journal of one feature in a database that holds many; its table is made where it is missing."""
        events().metadata.create_all(engine)
        return cls(engine, feature=feature)

    def append(self, new: Sequence[NewEvent], *, at: datetime | None = None) -> tuple[Event, ...]:
        """Write events in one piece, numbered on from the last.

        Raises
        ------
        OutputError
            If the disk does not take them.
        """
        table, when = events(), at or datetime.now(UTC)
        if not new:
            return ()
        with self._begin() as connection:
            start = self._last(connection) + 1
            found = tuple(Event(seq=start + index, at=when, what=each) for index, each in enumerate(new))
            connection.execute(table.insert(), [self._row(event) for event in found])
        return found

    def events(self) -> tuple[Event, ...]:
        """All events in order."""
        table = events()
        with self._begin() as connection:
            rows = connection.execute(
                table.select().where(table.c.feature == self._feature).order_by(table.c.seq)
            ).mappings()
            return tuple(_event(row) for row in rows)

    def subjects(self, *kinds: str) -> frozenset[str]:
        """What events of these kinds are about."""
        from sqlalchemy import select

        table = events()
        wanted = select(table.c.subject).where(table.c.feature == self._feature, table.c.kind.in_(kinds))
        with self._begin() as connection:
            return frozenset(connection.execute(wanted).scalars())

    def last_digest(self) -> str:
        """Digest of the feature file when it was noted last; empty if it never was."""
        from sqlalchemy import select

        table = events()
        wanted = select(table.c.digest).where(table.c.feature == self._feature, table.c.digest != "")
        with self._begin() as connection:
            return str(connection.execute(wanted.order_by(table.c.seq.desc()).limit(1)).scalar() or "")

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def _row(self, event: Event) -> dict[str, Any]:
        what = event.what
        return {
            "feature": self._feature,
            "seq": event.seq,
            "at": event.at,
            "kind": what.kind,
            "subject": what.subject,
            "before": what.before,
            "after": what.after,
            "who": what.who,
            "digest": what.digest,
        }

    def _last(self, connection: Connection) -> int:
        from sqlalchemy import func, select

        table = events()
        return int(
            connection.execute(select(func.max(table.c.seq)).where(table.c.feature == self._feature)).scalar() or 0
        )

    def _check(self, connection: Connection) -> None:
        from sqlalchemy import func, select

        table = events()
        counted = select(func.count(), func.min(table.c.seq), func.max(table.c.seq), func.count(table.c.seq.distinct()))
        count, first, last, distinct = connection.execute(counted.where(table.c.feature == self._feature)).one()
        if count and (first != 1 or last != count or distinct != count):
            raise DamagedJournal(f"{self._file}: events are missing from the journal")

    @contextmanager
    def _begin(self) -> Iterator[Connection]:
        """One transaction; what the database says of a bad file or a bad disk comes out in our words."""
        from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

        try:
            with self._engine.begin() as connection:
                yield connection
        except OperationalError as error:
            raise OutputError(f"{self._file}: the journal could not be written: {error.orig}") from error
        except IntegrityError as error:
            raise OutputError(f"{self._file}: the journal was written by another hand at this moment") from error
        except (DatabaseError, ValueError) as error:
            raise DamagedJournal(f"{self._file}: is no journal that can be read: {error}") from error


def set_aside(file: Path) -> Path:
    """Rename a damaged journal, with what lies beside it, and return its new name.

    Raises
    ------
    OutputError
        If it cannot be renamed.
    """
    number = 1
    while (aside := file.with_name(f"{file.stem}-damaged-{number}{file.suffix}")).exists():
        number += 1
    try:
        for tail in ("-journal", "-wal", "-shm"):
            beside = file.with_name(file.name + tail)
            if beside.exists():
                beside.rename(aside.with_name(aside.name + tail))
        file.rename(aside)
    except OSError as error:
        raise OutputError(f"{file}: is damaged and cannot be put aside: {error.strerror or error}") from error
    return aside


def _engine(file: Path) -> Engine:
    """A file that is whole between any two events: no write-ahead log, every event with the disk."""
    from sqlalchemy import URL, create_engine, event
    from sqlalchemy.pool import NullPool

    engine = create_engine(URL.create("sqlite", database=str(file)), poolclass=NullPool)
    engine = engine.execution_options(compiled_cache=_COMPILED)

    @event.listens_for(engine, "connect")
    def _connected(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # so that BEGIN is ours
        cursor = connection.cursor()
        for said in ("journal_mode = DELETE", "synchronous = FULL", "busy_timeout = 5000", "foreign_keys = ON"):
            cursor.execute(f"PRAGMA {said}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begun(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    return engine


def _prepare(connection: Connection, file: Path) -> None:
    """A new file gets its table; another one must have it and be sound."""
    from sqlalchemy import inspect

    version = int(connection.exec_driver_sql("PRAGMA user_version").scalar() or 0)
    tables = inspect(connection).get_table_names()
    if version == 0 and not tables:
        events().metadata.create_all(connection)
        connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA}")
        return
    if version != SCHEMA or tables != [events().name]:
        raise DamagedJournal(f"{file}: is no journal of this version ({version}, {', '.join(tables) or 'no table'})")
    said = connection.exec_driver_sql("PRAGMA quick_check").scalar()
    if said != "ok":
        raise DamagedJournal(f"{file}: is damaged: {said}")
    wanted = {column.name for column in events().columns}
    if {column["name"] for column in inspect(connection).get_columns(events().name)} != wanted:
        raise DamagedJournal(f"{file}: its table is not that of a journal")


def _event(row: Any) -> Event:
    what = NewEvent(
        kind=row["kind"],
        subject=row["subject"],
        before=row["before"],
        after=row["after"],
        who=row["who"],
        digest=row["digest"],
    )
    return Event(seq=row["seq"], at=row["at"], what=what)
