"""What nobody changed is written back byte for byte: byte order mark, ends of lines, remarks, odd spacing."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from rillwright import job

TEXT = """# Invented.
format: 1
name:   Alder Yard   # as it is called
units: us
pond:
  id: pond
  waterline: 0 in
  outline: {oval: [12 ft,   8 ft]}
  depth: 24 in
"""
WAYS = {
    "plain": TEXT.encode(),
    "mark": codecs.BOM_UTF8 + TEXT.encode(),
    "two ends a line": TEXT.replace("\n", "\r\n").encode(),
    "mark, two ends a line": codecs.BOM_UTF8 + TEXT.replace("\n", "\r\n").encode(),
    "no end of the last line": TEXT.rstrip("\n").encode(),
}
every_way = pytest.mark.parametrize("content", WAYS.values(), ids=list(WAYS))


@every_way
def test_saved_as_it_was_read(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "feature.yaml"
    file.write_bytes(content)
    saved = job.save(job.open(file))
    assert file.read_bytes() == content
    job.save(saved)
    assert file.read_bytes() == content


@every_way
def test_one_value_changed_leaves_the_rest(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "feature.yaml"
    file.write_bytes(content)
    job.save(job.open(file).with_value(("pond", "depth"), "30 in"))
    assert file.read_bytes() == content.replace(b"24 in", b"30 in")


def test_a_mark_that_another_hand_put_there_stays(tmp_path: Path) -> None:
    file = tmp_path / "feature.yaml"
    file.write_bytes(WAYS["plain"])
    opened = job.open(file)
    file.write_bytes(WAYS["mark"])  # some editors do
    job.save(opened.with_value(("pond", "depth"), "30 in"))
    assert file.read_bytes() == WAYS["mark"].replace(b"24 in", b"30 in")
