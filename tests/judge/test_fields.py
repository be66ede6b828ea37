"""Every default that is listed names a field that the feature file has: typed there, it is read there."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from rillwright import job
from rillwright.errors import InputError
from rillwright.feature import Document
from rillwright.judge import field_of, to_json

ONES = {"ponds": "pond", "streams": "stream", "runs": "run"}
EXAMPLES = sorted(job.examples().values())


def visited(folder: Path) -> job.Job:
    answers = job.Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")
    return job.visit(answers, folder / "yard").job


def part_of(file: dict[str, Any], field: str) -> tuple[Any, str]:
    """The mapping in which the last part of a field stands, made where it is not there yet, and that part."""
    *above, last = field.split(".")
    at: Any = file
    for name in above:
        collection, _, id = name.partition("/")
        if isinstance(at, list):
            at = next(each for each in at if name in (each.get("id"), each.get("bed"), each.get("fall")))
        elif id:
            many = at.get(collection) or [at[ONES[collection]]]
            at = next((each for each in many if each.get("id", id) == id), None)
        else:
            plural = at.get(f"{name}s")
            at = plural[0] if isinstance(plural, list) and len(plural) == 1 else at.setdefault(name, {})
        if at is None:
            pytest.skip("an element that the program adds by itself")
    return at, last


def complaints(file: dict[str, Any]) -> set[str]:
    try:
        Document.read(json.dumps(file), file="f")
    except InputError as error:
        return {problem.message for problem in error.problems}
    return set()


@pytest.mark.parametrize("example", [None, *EXAMPLES], ids=["visit", *(path.name for path in EXAMPLES)])
def test_a_default_is_typed_where_its_field_says(example: Path | None, tmp_path: Path) -> None:
    """Nonsense typed there is refused as nonsense; typed at a place of no such name it would be refused as unknown."""
    opened = visited(tmp_path) if example is None else job.open(example)
    file = opened.document.source.value
    unknown = complaints({**file, "no_such_key": 1})
    assert len(unknown) == 1
    fields = {field_of(used, opened.planned) for used in opened.planned.defaults_used}
    assert len(fields) > 3
    for field in sorted(fields):
        if field.startswith("laps/") and not file.get("laps"):
            continue  # the lap of a stream's end: a list of laps of one's own takes its place
        changed = copy.deepcopy(file)
        at, last = part_of(changed, field)
        at[last] = [[["nonsense"]]]
        said = complaints(changed)
        assert said, field
        assert not said & unknown, field


def test_the_field_stands_beside_the_path(tmp_path: Path) -> None:
    found = to_json(job.judge(visited(tmp_path)))["defaults_used"]
    fields = {entry["path"]: entry["field"] for entry in found}
    assert fields["ponds/pond.shelf.width"] == "pond.shelf.width"
    assert fields["reaches/b1.gravel"] == "stream.gravel"
    assert fields["liners/liner.spare"] == "liner.spare"
    assert fields["site/site.crew"] == "site.crew"
    assert fields["falls/f1.kind"] == "stream.course.f1.kind"
    assert not [path for path, field in fields.items() if path.startswith("stone/") and field]


def test_a_default_stands_once_and_in_its_own_unit(tmp_path: Path) -> None:
    """20 ft of stream and a fifth more are 24 ft of pipe; 0.6 of 3 ft, 21.6 in, is over the least crest of 12 in."""
    used = visited(tmp_path).planned.defaults_used
    paths = [one.path for one in used]
    assert sorted(paths) == sorted(set(paths))
    known = {one.path: one for one in used}
    for path, wanted_m in (("runs/supply.length", 24 * 0.3048), ("falls/f1.crest_width", 21.6 * 0.0254)):
        assert known[path].unit == "m"
        assert known[path].value == pytest.approx(wanted_m)


@pytest.mark.parametrize("typed", ["2 in", "2 in Schedule 40", "90 mm", "90 mm PE SDR 17"])
def test_a_pipe_is_taken_as_it_is_printed(typed: str, tmp_path: Path) -> None:
    visited(tmp_path)
    text = (tmp_path / "yard" / "feature.yaml").read_text().replace("run:\n", f"run:\n  pipe: {{name: {typed}}}\n")
    (tmp_path / "yard" / "feature.yaml").write_text(text)
    pipe = job.open(tmp_path / "yard").feature.runs[0].pipe
    assert pipe is not None
