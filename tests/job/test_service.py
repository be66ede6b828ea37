"""Writing to a job's folder: nothing acknowledged is lost, whatever happens to disk, clock, lock, journal or file."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from tests.house.tree import ROOT

from rillwright import job
from rillwright.errors import InputError, OutputError
from rillwright.job.history import history
from rillwright.job.locking import locked
from rillwright.survey import Shot, read_shots
from rillwright.units import US

FT_IN: dict[str, Any] = {"rod": "ft-in", "who": "kit", "setup": "2026-05-04/1"}


def folder_of(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def begun(tmp_path: Path) -> job.Job:
    """A job with its instrument set up."""
    opened = job.open(folder_of(tmp_path))
    return job.shoot(opened, at="marks/bolt", surface="mark", reading="4' 10 3/4\"", uuid="bench", **FT_IN).job


def crest(opened: job.Job, reading: str = "4' 6 1/4\"", **more: Any) -> job.Shooting:
    return job.shoot(opened, at="falls/last.crest", surface="stone top", reading=reading, **{**FT_IN, **more})


def text_of(opened: job.Job) -> str:
    return (opened.path.parent / "shots.csv").read_text(encoding="utf-8")


def uuids(opened: job.Job) -> list[str]:
    return [shot.uuid for shot in read_shots(text_of(opened), file="shots.csv").shots]


def test_a_job_without_shots_is_as_it_was(tmp_path: Path) -> None:
    opened = job.open(folder_of(tmp_path))
    assert opened.feature == opened.planned
    assert not opened.shots.shots
    assert sorted(path.name for path in opened.path.parent.iterdir()) == ["books", "feature.yaml", "ground"]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO], ids=["disk full", "disk broken"])
@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_reading_that_the_disk_does_not_take_is_said_and_harms_none(
    call: str, number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = begun(tmp_path)
    before = text_of(opened)
    real = getattr(os, call)

    def full(handle: int, *rest: bytes) -> int:
        if rest:
            real(handle, rest[0][: len(rest[0]) // 2])  # half of it went
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        patch.setattr(os, call, full)
        with pytest.raises(OutputError, match="NOT written"):
            crest(opened)
    assert text_of(opened) == before
    assert crest(opened).new


def test_a_line_cut_off_by_a_power_cut_is_put_aside_and_said(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    file = opened.path.parent / "shots.csv"
    whole = file.read_bytes()
    file.write_bytes(whole + b"c0ffee,2026-05-04T09:00:00-04:00,kit,2026-05-04/1,ft-in,falls/last.cr")
    seen = job.open(opened.path)
    assert [line.torn for line in seen.shots.unread] == [True]
    assert any(f.code == "shot.asked" and "cut off" in job.text_of(f, US) for f in job.judge(seen).findings)
    done = crest(seen, uuid="after")
    assert "cut off" in done.notes[0]
    assert uuids(done.job) == ["bench", "after"]
    aside = (opened.path.parent / "shots-cut-off.csv").read_bytes()
    assert aside.startswith(b"c0ffee")


def test_a_last_line_that_lacks_only_its_end_is_kept(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    file = opened.path.parent / "shots.csv"
    file.write_bytes(file.read_bytes().rstrip(b"\n"))
    done = crest(opened, uuid="next")
    assert uuids(done.job) == ["bench", "next"]
    assert not done.notes


def test_a_clock_that_jumps_back_is_asked_about_and_the_order_of_the_file_holds(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    one = crest(opened, time="2026-05-04T09:00:00-04:00")
    two = crest(one.job, reading="4' 6 3/8\"", time="2026-05-03T09:00:00-04:00")
    assert [question.code for question in two.questions] == ["clock"]
    assert two.reduced is not None
    assert two.reduced.state == "kept"
    assert two.job.feature.falls[-1].crest.m == two.reduced.level_m


def test_confirmed_doubted_withdrawn(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    odd = crest(opened, reading="3' 6 1/4\"", uuid="odd-one")
    assert odd.reduced is not None
    assert odd.reduced.state == "doubted"
    assert odd.job.feature == opened.feature
    held = job.confirm(odd.job, "odd", who="kit", note="it stands so")
    assert held.reduced is not None
    assert held.reduced.state == "kept"
    assert held.job.feature.falls[-1].crest.m == held.reduced.level_m
    gone = job.withdraw(held.job, "odd-one", note="wrong stone")
    assert gone.job.feature == opened.feature
    assert [shot.state for shot in gone.job.shots.shots] == ["kept", "withdrawn"]
    assert len(uuids(gone.job)) == 4
    with pytest.raises(InputError, match="no reading has that uuid"):
        job.withdraw(gone.job, "nobody")


def test_a_reading_read_anew_takes_the_first_one_s_place(tmp_path: Path) -> None:
    first = crest(begun(tmp_path), reading="3' 6 1/4\"", uuid="first")
    second = crest(first.job, re="first", uuid="second")
    assert [shot.state for shot in second.job.shots.shots] == ["kept", "withdrawn", "kept"]


def test_undo_takes_back_step_by_step_and_no_row(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    shot = crest(opened, uuid="c1").job
    typed = job.save(shot.with_value(("pond", "depth"), "30 in"), who="kit")
    assert not typed.notes
    unsaved = typed.with_value(("pond", "depth"), "40 in")
    back = job.undo(unsaved)
    assert back.job.document.text == typed.document.text
    back = job.undo(back.job)
    assert back.job.path.read_text(encoding="utf-8") == opened.as_read
    assert back.job.feature.falls[-1].crest.origin.value == "built"
    back = job.undo(back.job)
    assert back.job.feature == opened.feature
    back = job.undo(back.job)
    with pytest.raises(InputError, match="nothing to take back"):
        job.undo(back.job)
    assert uuids(back.job)[:2] == ["bench", "c1"]


def test_the_journal_says_what_was_done(tmp_path: Path) -> None:
    done = job.save(crest(begun(tmp_path)).job.with_value(("name",), "Another name"), who="kit")
    with locked(done.path.parent):
        kinds = [event.what.kind for event in history(done.path).events]
    assert kinds == ["opened", "shot appended", "shot appended", "value typed", "saved"]


def test_a_damaged_journal_costs_undo_and_no_reading(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    place = opened.path.parent / "journal.db"
    place.write_bytes(b"\x00garbage" * 999)
    done = crest(opened)
    assert "damaged" in done.notes[0]
    assert len(done.job.shots.shots) == 2
    assert (opened.path.parent / "journal-damaged-1.db").exists()
    with locked(opened.path.parent):
        assert len([e for e in history(opened.path).events if e.what.kind == "shot appended"]) == 2


def test_a_lost_journal_is_made_from_the_files(tmp_path: Path) -> None:
    opened = crest(begun(tmp_path)).job
    (opened.path.parent / "journal.db").unlink()
    assert job.open(opened.path).feature == opened.feature
    with locked(opened.path.parent):
        found = history(opened.path)
    assert [event.what.kind for event in found.events] == ["opened", "shot appended", "shot appended"]
    assert not found.notes


def test_rows_taken_out_by_hand_are_missed_and_the_journal_keeps_their_text(tmp_path: Path) -> None:
    opened = crest(begun(tmp_path), uuid="gone").job
    file = opened.path.parent / "shots.csv"
    file.write_text("".join(line for line in text_of(opened).splitlines(True) if not line.startswith("gone")), "utf-8")
    with locked(opened.path.parent):
        found = history(opened.path)
    assert "1 row that the journal has noted no longer" in found.notes[0]
    assert any("4' 6 1/4" in event.what.after for event in found.events)


def test_a_feature_file_changed_outside_is_read_again_and_the_reading_kept(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    opened.path.write_text(opened.as_read.replace("name: Orchard Press", "name: Changed outside"), encoding="utf-8")
    done = crest(opened)
    assert "another hand" in done.notes[0]
    assert done.job.feature.name == "Changed outside"
    with pytest.raises(OutputError, match="Open it again"):
        job.save(opened.with_value(("pond", "depth"), "30 in"))


def test_a_feature_file_spoilt_outside_keeps_no_reading_out(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    opened.path.write_text("pond: [", encoding="utf-8")
    done = crest(opened)
    assert done.new
    assert "can no longer be read" in done.notes[0]


def test_a_lock_left_by_a_program_that_died_holds_nobody_up(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    lock = opened.path.parent / "job.lock"
    code = (
        "import os, sys\nfrom pathlib import Path\nfrom rillwright.job.locking import locked\n"
        "with locked(Path(sys.argv[1])):\n    os._exit(9)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(lock.parent)], env={**os.environ, "PYTHONPATH": str(ROOT / "src")}, check=False
    )
    assert done.returncode == 9
    assert lock.exists()
    assert crest(opened).new


def test_a_lock_that_is_held_is_waited_for_then_said(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    with locked(folder), pytest.raises(OutputError, match=f"process {os.getpid()}"), locked(folder, patience_s=0.05):
        pass


def test_many_phones_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)

    def send(phone: int) -> None:
        rows = [
            Shot(uuid=f"{phone}-{n}", time="2026-05-04T08:00:00+00:00", who=str(phone), reading="1.0")
            for n in range(25)
        ]
        for row in rows:
            job.receive(folder, [row])
        job.receive(folder, rows)  # the whole queue again: the answer was lost on the way

    phones = [threading.Thread(target=send, args=(phone,)) for phone in range(6)]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join()
    sheet = read_shots((folder / "shots.csv").read_text(encoding="utf-8"), file="shots.csv")
    assert sorted(shot.uuid for shot in sheet.shots) == sorted(f"{p}-{n}" for p in range(6) for n in range(25))


def test_another_file_of_that_name_is_never_written_to(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    opened = job.open(folder)
    (folder / "shots.csv").write_text("my,own,list\n1,2,3\n", encoding="utf-8")
    with pytest.raises(InputError, match="header"):
        crest(opened)
    assert (folder / "shots.csv").read_text(encoding="utf-8") == "my,own,list\n1,2,3\n"


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="rights are of another kind on this system")
def test_a_folder_without_rights_is_said(tmp_path: Path) -> None:
    opened = begun(tmp_path)
    if os.geteuid() == 0:
        pytest.skip("whoever may do everything is refused nothing")
    before = text_of(opened)
    opened.path.parent.chmod(0o555)
    (opened.path.parent / "shots.csv").chmod(0o444)
    try:
        with pytest.raises(OutputError, match=r"NOT written|nothing was written"):
            crest(opened)
    finally:
        opened.path.parent.chmod(0o755)
    assert text_of(opened) == before


def test_a_lock_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    """What a folder without rights comes to, also for those who may do everything."""
    opened = begun(tmp_path)
    (opened.path.parent / "job.lock").unlink()
    (opened.path.parent / "job.lock").mkdir()
    with pytest.raises(OutputError, match="nothing was written"):
        crest(opened)
