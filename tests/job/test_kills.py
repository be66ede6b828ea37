"""Killed at any moment of writing: every reading that was acknowledged is there, once, and the journal is sound."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from tests.house.tree import ROOT

from rillwright import job
from rillwright.job.history import history
from rillwright.job.locking import locked
from rillwright.survey import Shot, read_shots

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="children are forked, which this system does not do")
ZYGOTE = Path(__file__).with_name("kill_zygote.py")


def survives(tmp_path: Path, kills: int) -> None:
    folder = Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))
    done = subprocess.run(
        [sys.executable, str(ZYGOTE), str(folder), str(kills), "7"],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        check=True,
    )
    acknowledged = set(done.stdout.split())
    assert len(acknowledged) > kills / 4, "the children hardly came to write"
    job.receive(folder, [Shot(uuid="last", time="2026-05-04T09:00:00+00:00", reading="1.0")])
    sheet = read_shots((folder / "shots.csv").read_text(encoding="utf-8"), file="shots.csv")
    counted = Counter(shot.uuid for shot in sheet.shots)
    assert acknowledged <= set(counted)
    assert set(counted.values()) == {1}
    assert not sheet.unread
    with locked(folder):
        looked = history(folder / "feature.yaml")
    assert {event.what.subject for event in looked.events if event.what.kind == "shot appended"} == set(counted)
    assert not [note for note in looked.notes if "damaged" in note]


def test_fifty_kills(tmp_path: Path) -> None:
    survives(tmp_path, 50)


@pytest.mark.deep
def test_a_thousand_kills(tmp_path: Path) -> None:
    survives(tmp_path, 1000)
