"""Step by step equals from scratch, and what did not change is taken over."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillwright import job
from rillwright.assess import STEPS
from rillwright.feature import Document

CHANGES = {
    "depth": ("pond", "depth"),
    "head": ("stream", "width"),
    "crew": ("site", "crew"),
    "wanted": ("run", "outlets", 0, "wanted"),
    "services": ("site", "services", "note"),
    "crest": ("stream", "course", 1, "drop"),
    "stone": ("stream", "course", 9, "spill_stone"),
    "bolt": ("datum",),
}
VALUES = {
    "depth": ["20 in", "26 in"],
    "head": ["3 ft", "4 ft"],
    "crew": ["2", "4"],
    "wanted": ["2000 gal/h", "2600 gal/h"],
    "services": ["none here", "gas"],
    "crest": ["4 in", "5 1/2 in"],
    "stone": ["2 in", "3 in"],
    "bolt": ["bolt", "bolt"],
}


@given(st.lists(st.tuples(st.sampled_from(sorted(CHANGES)), st.integers(0, 1)), min_size=1, max_size=4))
@settings(max_examples=15, deadline=None)
def test_incremental_equals_from_scratch(changes: list[tuple[str, int]]) -> None:
    opened = job.open(job.examples()["orchard-press"])
    judged = job.judge(opened)
    for name, which in changes:
        opened = opened.with_value(CHANGES[name], VALUES[name][which])
        judged = job.judge(opened, earlier=judged)
    assert judged == job.judge(opened)
    whole = opened.with_document(Document.read(opened.document.text, file=opened.document.file))
    assert (whole.feature, whole.surveyed) == (opened.feature, opened.surveyed)
    assert judged == job.judge(whole)


def test_what_did_not_change_is_taken_over() -> None:
    opened = job.open(job.examples()["orchard-press"])
    before = job.judge(opened).assessment
    after = job.judge(opened.with_value(("site", "crew"), "5"), earlier=job.judge(opened)).assessment
    assert after.water == before.water
    assert dict(after.steps)["water"] == dict(before.steps)["water"]
    assert dict(after.steps)["price"] != dict(before.steps)["price"]
    assert [name for name, _ in after.steps] == [step.name for step in STEPS]


def test_a_reading_of_the_fill_meter_changes_all_that_reads_storage() -> None:
    opened = job.open(job.examples()["orchard-press"])
    rows = "".join(
        f"  - {{meter: {meter} gal, level: {deep} in below ponds/pond.waterline}}\n"
        for deep, meter in ((9, 900), (5, 1130), (0, 1460))
    )
    read = opened.with_document(Document.read(f"{opened.document.text}\nfilled:\n{rows}", file="feature.yaml"))
    before = job.judge(read)
    changed = read.with_value(("filled", 2, "meter"), "1390 gal")
    after = job.judge(changed, earlier=before)
    assert after == job.judge(changed)
    drops = [
        each.assessment.water.balance.drop_at_start_m.value  # type: ignore[union-attr]
        for each in (job.judge(opened), before, after)
    ]
    assert drops == sorted(drops)  # less and less room where the water falls
    assert len(set(drops)) == 3


def test_other_inputs_have_another_digest() -> None:
    opened = job.open(job.examples()["orchard-press"])
    changed = opened.with_value(("pond", "depth"), "30 in")
    assert job.judge(opened).assessment.digest != job.judge(changed).assessment.digest


@pytest.mark.parametrize("name", sorted(job.examples()))
def test_the_same_job_is_judged_the_same(name: str) -> None:
    opened = job.open(job.examples()[name])
    assert job.to_json(job.judge(opened)) == job.to_json(job.judge(opened))
