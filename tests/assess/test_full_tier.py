"""The full tier: made when asked for, taken over while it holds, said to be stale when it does not, never guessed."""

from __future__ import annotations

from functools import cache

import pytest

from rillwright import job
from rillwright.assessment import Judged, NotRun, OverTime

NAME = "clinic-forecourt"


@cache
def full() -> tuple[job.Job, Judged]:
    opened = job.open(job.examples()[NAME])
    return opened, job.judge(opened, tier="full")


def codes(judged: Judged) -> set[str]:
    return {finding.code for finding in judged.findings}


def test_the_quick_check_says_that_nobody_asked() -> None:
    judged = job.judge(full()[0])
    made = judged.assessment.over_time
    assert isinstance(made, NotRun)
    assert "not asked for" in made.reason
    assert "unchecked.time" in codes(judged)
    assert "start.runs" not in codes(judged)
    assert job.to_json(judged)["over_time"] == {"not_run": made.reason}


def test_the_full_one_follows_it() -> None:
    _, judged = full()
    assert isinstance(judged.assessment.over_time, OverTime)
    assert {"start.first", "start.lowest", "start.runs", "stop.back", "leak.depth"} <= codes(judged)
    assert "unchecked.time" not in codes(judged)
    assert any(each.path.startswith("over_time/") for each in judged.assessment.defaults_used)


def test_its_series_are_numbers_in_the_json() -> None:
    found = job.to_json(full()[1])["over_time"]
    first = found["histories"][0]
    assert first["case"] == "first start"
    assert len(first["levels"][0]["level_m"]) == len(first["times_s"]) > 50
    assert isinstance(first["film"]["levels_m"], list)
    assert first["drift"] <= 1e-12


def test_it_is_taken_over_while_nothing_that_it_reads_has_changed() -> None:
    opened, before = full()
    after = job.judge(opened.with_value(("site", "crew"), "5"), earlier=before)
    assert after.assessment.over_time is before.assessment.over_time
    assert "start.runs" in codes(after)


def test_it_is_stale_when_something_has() -> None:
    opened, before = full()
    changed = opened.with_value(("pond", "depth"), "32 in")
    after = job.judge(changed, earlier=before)
    made = after.assessment.over_time
    assert isinstance(made, NotRun)
    assert made.reason.startswith("stale")
    again = job.judge(changed.with_value(("site", "crew"), "5"), earlier=after).assessment.over_time
    assert again == made  # stale stays stale until it is asked for


def test_rims_and_banks_are_judged_by_the_higher_of_both() -> None:
    _, judged = full()
    methods = {high.method for high in judged.assessment.over_time.highest}  # type: ignore[union-attr]
    assert methods == {"shallow water over time"}
    quick = {top.path: top.against.level_m.value for top in job.judge(full()[0]).assessment.containment.tops}  # type: ignore[union-attr]
    followed = {top.path: top.against.level_m.value for top in judged.assessment.containment.tops}  # type: ignore[union-attr]
    assert set(quick) == set(followed)
    assert all(followed[path] >= level - 1e-12 for path, level in quick.items())


def test_cancelled_it_is_not_run_and_the_rest_is_left() -> None:
    opened, _ = full()
    said: list[str] = []

    def soon(share: float, doing: str) -> bool:
        said.append(doing)
        return len(said) < 6

    cancelled = job.judge(opened, tier="full", progress=soon)
    made = cancelled.assessment.over_time
    assert isinstance(made, NotRun)
    assert "stopped by hand" in made.reason
    assert isinstance(cancelled.assessment.price, NotRun)
    assert isinstance(cancelled.assessment.shape, NotRun) is False
    again = job.judge(opened, earlier=cancelled, tier="full").assessment
    assert isinstance(again.over_time, OverTime)  # asked again, it begins anew
    assert not isinstance(again.price, NotRun)


def test_progress_only_grows() -> None:
    shares: list[float] = []

    def listen(share: float, doing: str) -> bool:
        shares.append(share)
        return True

    job.judge(full()[0], tier="full", progress=listen)
    assert len(shares) > 20
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
