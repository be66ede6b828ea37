"""The tier of the finished surface: after the quick one, in the full one; taken over, or said to be stale; in JSON."""

from __future__ import annotations

from functools import cache

from rillwright import job
from rillwright.assess import STEPS
from rillwright.assessment import Finished, Judged, NotRun

NAME = "clinic-forecourt"


@cache
def made() -> tuple[job.Job, Judged]:
    opened = job.open(job.examples()[NAME])
    return opened, job.judge(opened, tier="surface")


def test_a_quick_check_has_none_and_says_so() -> None:
    found = job.judge(made()[0])
    assert isinstance(found.assessment.finished, NotRun)
    assert "not asked for" in found.assessment.finished.reason
    assert job.to_json(found)["finished"] == {"not_run": found.assessment.finished.reason}


def test_step_by_step_equals_from_scratch() -> None:
    opened, judged = made()
    assert isinstance(judged.assessment.finished, Finished)
    assert isinstance(judged.assessment.over_time, NotRun)  # that is the full check's
    stepped = job.judge(opened, earlier=job.judge(opened), tier="surface")
    assert stepped == judged
    deeper = opened.with_value(("pond", "depth"), "32 in")
    after = job.judge(deeper, earlier=judged, tier="surface")
    assert after == job.judge(deeper, tier="surface")
    assert after.assessment.finished != judged.assessment.finished


def test_it_is_taken_over_or_stale() -> None:
    opened, judged = made()
    same = job.judge(opened.with_value(("run", "wanted"), "2000 gal/h"), earlier=judged)
    assert same.assessment.finished is judged.assessment.finished
    other = job.judge(opened.with_value(("pond", "depth"), "32 in"), earlier=judged)
    assert isinstance(other.assessment.finished, NotRun)
    assert other.assessment.finished.reason.startswith("stale")


def test_its_arrays_in_the_json() -> None:
    found = job.to_json(made()[1])["finished"]
    finished = made()[1].assessment.finished
    assert isinstance(finished, Finished)
    assert found["digest"] == finished.digest
    assert [part["path"] for part in found["earth"]] == [part.path for part in finished.earth]
    assert len(found["ground"]["xyz"]) == len(finished.ground.xyz)
    big = found["dug"]["triangles"]
    if finished.dug.triangles.size > 5000:
        assert big["shape"] == list(finished.dug.triangles.shape)
        assert big["range"] == [0, len(finished.dug.xyz) - 1]
    else:
        assert big == finished.dug.triangles.tolist()


def test_it_is_of_its_own_tier_with_the_ways_over_it() -> None:
    assert [step.name for step in STEPS if step.tier == "surface"] == ["finished", "spilt"]


def test_ways_go_over_the_finished_work_where_it_was_made() -> None:
    opened, judged = made()
    ways, before = judged.assessment.ways, job.judge(opened).assessment.ways
    assert ways is not None
    assert before is not None
    assert (before.over, ways.over) == ("ground before work", "finished surface")
    assert [spill.water for spill in ways.spills] == [spill.water for spill in before.spills]
