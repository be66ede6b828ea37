"""Starts and stops of a feature with two streams: each of them is played, and the first where none is asked for."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.water.test_over_time import TWO_STREAMS

from rillwright import job
from rillwright.errors import InputError


@pytest.fixture(scope="module")
def followed(tmp_path_factory: pytest.TempPathFactory) -> job.Judged:
    folder: Path = tmp_path_factory.mktemp("yard")
    (folder / "feature.yaml").write_text(TWO_STREAMS, encoding="utf-8")
    opened = job.open(folder)
    return job.follow(opened, job.judge(opened))


def test_each_stream_is_played_and_the_first_is_played_unasked(followed: job.Judged) -> None:
    first = job.motion_of(followed, 0)
    assert (first["stream"], first["streams"]) == ("long", ["long", "short"])
    assert first == job.motion_of(followed, 0, stream="long")
    for stream, beds, falls in (("long", ["a1", "a2"], ["g1", "g2"]), ("short", ["c1", "c2"], ["k1", "k2"])):
        told = job.motion_of(followed, 0, stream=stream)
        assert told["stream"] == stream
        assert [strip["path"] for strip in told["strips"]] == [f"reaches/{bed}" for bed in beds]
        assert [sheet["path"] for sheet in told["sheets"]] == [f"falls/{fall}" for fall in falls]
        assert [basin["path"] for basin in told["basins"]] == ["ponds/pond"]
        assert {len(row) for row in told["surface"]} == {sum(len(strip["x"]) for strip in told["strips"])}


def test_what_happens_is_told_of_all_streams_whichever_is_played(followed: job.Judged) -> None:
    long, short = (job.motion_of(followed, 1, stream=stream) for stream in ("long", "short"))
    assert long["moments"] == short["moments"]
    assert {"g1 runs", "k1 runs"} <= {moment["words"] for moment in short["moments"]}
    assert long["times_s"] == short["times_s"]


def test_a_stream_that_is_not_there_is_refused(followed: job.Judged) -> None:
    with pytest.raises(InputError, match="no such stream"):
        job.motion_of(followed, 0, stream="elsewhere")
