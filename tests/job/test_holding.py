"""Hold points that are kept: ticked, undone, marked by a shot, gone past; as safe as a reading."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import HoldState
from rillwright.errors import InputError
from rillwright.job.hold_file import ticks_of
from rillwright.packet.holds_page import holds as holds_page


@pytest.fixture
def opened(tmp_path: Path) -> job.Job:
    return job.open(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def state(found: job.Job, id: str, *, day: str = "") -> HoldState:
    return next(one for one in job.holds(found, day=day) if one.hold.id == id)


def gone_past(judged: job.Judged) -> list[str]:
    return [one.element for one in judged.findings if one.code == "hold.open" and one.severity.value == "watch"]


@pytest.mark.parametrize("name", sorted(job.examples()))
def test_ids_and_items_are_each_of_one(name: str) -> None:
    states = job.holds(job.open(job.examples()[name]))
    ids = [one.hold.id for one in states]
    assert len(ids) == len(set(ids)) > 10
    for one in states:
        names = [item.name for item in one.items]
        assert len(names) == len(set(names)), one.hold.id
        assert not one.done


def test_a_tick_is_kept_and_can_be_undone(opened: job.Job) -> None:
    done = job.tick(opened, "dig.pond", initials="KA", who="kit")
    assert state(job.open(opened.path), "dig.pond").done
    assert state(done.job, "dig.pond").initials == "KA"
    again = job.tick(done.job, "dig.pond", initials="KA", state="undone")
    assert not state(again.job, "dig.pond").done
    assert len(ticks_of(opened.path.parent).ticks) == 2


def test_every_line_ticked_is_all_of_it(opened: job.Job) -> None:
    names = [item.name for item in state(opened, "lap.at-pond").items]
    found = opened
    for name in names:
        assert not state(found, "lap.at-pond").done
        found = job.tick(found, "lap.at-pond", item=name, initials="KA").job
    assert state(found, "lap.at-pond").done


def test_sent_twice_it_arrives_once(opened: job.Job) -> None:
    def send(found: job.Job) -> job.Ticked:
        return job.tick(found, "services", initials="KA", time="2026-05-04T09:00:00+02:00", uuid="t-1")

    once = send(opened)
    again = send(once.job)
    assert (once.new, again.new) == (True, False)
    assert len(again.job.ticks.ticks) == 1


def test_a_benchmark_is_held_every_day_anew(opened: job.Job) -> None:
    done = job.tick(opened, "benchmark.start", initials="KA", time="2026-05-04T07:00:00+02:00")
    assert state(done.job, "benchmark.start", day="2026-05-04").done
    assert not state(done.job, "benchmark.start", day="2026-05-05").done


@pytest.mark.parametrize(("off_m", "met"), [(0.002, True), (-0.006, False)], ids=["within an eighth", "low"])
def test_a_level_that_was_asked_for_and_lies_within_marks_its_line(opened: job.Job, off_m: float, met: bool) -> None:
    """1/8 in, 3.175 mm, for the top of a spill stone (common practice, no source)."""
    planned = next(fall.crest.m for fall in opened.planned.falls if fall.id == "r3")
    taken = job.shoot(opened, at="marks/bolt", surface="mark", reading="1.5000", rod="metric")
    height = taken.job.shots.setups[0].height_of_instrument_m
    reading = f"{height - planned - off_m:.4f}"
    taken = job.shoot(taken.job, at="falls/r3.crest@left", surface="stone top", reading=reading)
    left = state(taken.job, "spill.r3").item("shoot falls/r3.crest@left stone top")
    assert (left.done, left.met) == (met, met)
    assert left.found_m == pytest.approx(planned + off_m, abs=1e-4)
    right = state(taken.job, "spill.r3").item("shoot falls/r3.crest@right stone top")
    assert (right.done, right.found_m) == (False, None)


def test_what_was_covered_before_it_was_checked_is_told_and_only_that(opened: job.Job) -> None:
    services = job.tick(opened, "services", initials="KA")
    assert gone_past(services.after) == []
    covered = job.tick(services.job, "liner.pond", initials="KA")
    assert gone_past(covered.after) == ["ponds/pond", "ponds/pond"]  # neither the dig nor the piece was checked
    dig = job.tick(covered.job, "dig.pond", initials="KA")
    cut = job.tick(dig.job, "cut.l-pond", initials="KA")
    assert gone_past(cut.after) == []
    stone = job.tick(cut.job, "spill.r3", initials="KA")  # another place
    assert gone_past(stone.after) == []


def test_unknown_ones_and_missing_initials_are_said(opened: job.Job) -> None:
    for wrong in ({"hold": "dig.pnd", "initials": "K"}, {"hold": "dig.pond", "initials": ""}):
        with pytest.raises(InputError):
            job.tick(opened, wrong["hold"], initials=wrong["initials"])
    with pytest.raises(InputError, match="is no item of"):
        job.tick(opened, "dig.pond", item="look nowhere", initials="K")
    assert not (opened.path.parent / "holds.csv").exists()


def test_a_line_cut_off_in_writing_is_put_aside_and_the_others_stay(opened: job.Job) -> None:
    job.tick(opened, "services", initials="KA")
    file = opened.path.parent / "holds.csv"
    whole = file.read_bytes()
    file.write_bytes(whole + b"t-2,2026-05-04T09:00:00+0")
    again = job.open(opened.path)
    assert len(again.ticks.ticks) == 1
    done = job.tick(again, "dig.pond", initials="KA")
    assert "cut off" in done.notes[0]
    assert file.read_bytes().startswith(whole)
    assert len(done.job.ticks.ticks) == 2
    assert (opened.path.parent / "holds-cut-off.csv").exists()


def test_the_papers_say_by_whom_and_when_it_was_done(opened: job.Job) -> None:
    done = job.tick(opened, "liner.pond", initials="KA", time="2026-05-04T09:30:00+02:00")
    assert "done: KA, 2026-05-04 09:30" in repr(holds_page(done.after, None))
    assert "done: " not in repr(holds_page(job.judge(opened), None))
