"""The journal: numbered without a gap, in UTC, whole whenever it is copied, known when it is damaged."""

from __future__ import annotations

import shutil
import sqlite3
import threading
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from rillwright.errors import OutputError
from rillwright.store import DamagedJournal, Event, Journal, NewEvent, set_aside


def note(number: int) -> NewEvent:
    return NewEvent(kind="saved", subject=str(number), before="a: 'b'\n", after='"\u00e9\u2028', digest="d")


def journal(tmp_path: Path, name: str = "journal.db") -> Journal:
    return Journal.open(tmp_path / name, feature="feature.yaml")


def numbers(events: tuple[Event, ...]) -> list[int]:
    return [event.seq for event in events]


def test_events_come_back_in_order_and_as_they_were(tmp_path: Path) -> None:
    written = journal(tmp_path)
    written.append([note(1), note(2)])
    written.append([note(3)])
    written.close()
    found = journal(tmp_path).events()
    assert numbers(found) == [1, 2, 3]
    assert [event.what for event in found] == [note(1), note(2), note(3)]


def test_times_are_kept_in_utc_whatever_the_zone(tmp_path: Path) -> None:
    noon = datetime(2026, 5, 4, 12, 0, 0, 123456, tzinfo=timezone(timedelta(hours=-4)))
    written = journal(tmp_path)
    written.append([note(1)], at=noon)
    (event,) = written.events()
    assert event.at == noon
    assert event.at.utcoffset() == timedelta(0)
    with pytest.raises(Exception, match="zone"):
        written.append([note(2)], at=datetime(2026, 5, 4))
    assert numbers(written.events()) == [1]


def test_many_hands_leave_no_gap(tmp_path: Path) -> None:
    def write(number: int) -> None:
        mine = journal(tmp_path)
        for _ in range(10):
            mine.append([note(number), note(number)])
        mine.close()

    journal(tmp_path).close()
    hands = [threading.Thread(target=write, args=(number,)) for number in range(4)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert numbers(journal(tmp_path).events()) == list(range(1, 81))


def test_a_copy_taken_while_it_is_open_is_whole(tmp_path: Path) -> None:
    written = journal(tmp_path)
    for number in range(1, 6):
        written.append([note(number)])
        shutil.copy(tmp_path / "journal.db", tmp_path / f"copy-{number}.db")
        assert len(journal(tmp_path, f"copy-{number}.db").events()) == number
    assert sorted(path.name for path in tmp_path.iterdir() if "journal.db" in path.name) == ["journal.db"]


def test_two_features_number_their_own_events(tmp_path: Path) -> None:
    one, other = (Journal.open(tmp_path / "journal.db", feature=name) for name in ("a.yaml", "b.yaml"))
    one.append([note(1), note(2)])
    other.append([note(3)])
    assert (numbers(one.events()), numbers(other.events())) == ([1, 2], [1])


def test_a_number_is_never_used_twice(tmp_path: Path) -> None:
    """The database itself refuses it, whoever writes."""
    journal(tmp_path).append([note(1)])
    with sqlite3.connect(tmp_path / "journal.db") as raw, pytest.raises(sqlite3.IntegrityError):
        raw.execute(
            "insert into events (feature, seq, at, kind, subject, before, after, who, digest) "
            "select feature, seq, at, kind, subject, before, after, who, digest from events"
        )
    raw.close()
    named = sqlite3.connect(tmp_path / "journal.db")
    text = "".join(row[0] or "" for row in named.execute("select sql from sqlite_master"))
    named.close()
    assert all(name in text for name in ("uq_events_feature_seq", "pk_events", "ck_events_seq_from_one"))


@pytest.mark.parametrize(
    "harm",
    [
        lambda file: file.write_bytes(b"not a database, and long enough to look like something" * 20),
        lambda file: file.write_bytes(file.read_bytes()[:5000]),
        lambda file: _sql(file, "delete from events where seq = 2"),
        lambda file: _sql(file, "drop table events"),
        lambda file: _sql(file, "pragma user_version = 99"),
        lambda file: _sql(file, "alter table events drop column who"),
    ],
    ids=["no database", "cut off", "an event taken out", "no table", "of a later version", "another table"],
)
def test_damage_is_known_and_put_aside(harm: object, tmp_path: Path) -> None:
    file = tmp_path / "journal.db"
    written = journal(tmp_path)
    written.append([note(number) for number in range(1, 40)])
    written.close()
    assert callable(harm)
    harm(file)
    with pytest.raises(DamagedJournal):
        journal(tmp_path)
    assert set_aside(file).name == "journal-damaged-1.db"
    assert journal(tmp_path).events() == ()
    assert set_aside(file).name == "journal-damaged-2.db"


def _sql(file: Path, said: str) -> None:
    raw = sqlite3.connect(file)
    raw.execute(said)
    raw.commit()
    raw.close()


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(OutputError):
        journal(tmp_path / "nowhere")


def test_the_same_table_serves_a_database_of_many(tmp_path: Path) -> None:
    from sqlalchemy import create_engine

    engine = create_engine(f"sqlite:///{tmp_path / 'company.db'}")
    first, second = (Journal.on(engine, feature=name) for name in ("one", "two"))
    first.append([note(1)], at=datetime(2026, 5, 4, tzinfo=UTC))
    second.append([note(2), note(3)])
    assert (numbers(first.events()), numbers(second.events())) == ([1], [1, 2])
    engine.dispose()
