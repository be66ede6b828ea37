"""Every value of the feature file has a name in the trade's words, and no path is shown in its place."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from rillwright.errors import InputError
from rillwright.feature import LABELS, Document, complete, json_schema, named, named_in, spoken, wording
from tests.feature.courtyard import TEXT

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/feature.yaml"))
FILE: dict[str, Any] = Document.read(TEXT, file="feature.yaml").source.value
_KEYS_THAT_ARE_PYTHONS = {"from": "source"}  # a key that no field can be called by


def test_every_key_of_every_part_has_a_label() -> None:
    schema = json_schema()
    parts = {"FeatureSaid": schema, **schema["$defs"]}
    missing = [
        (part, key)
        for part, said in parts.items()
        for key in said["properties"]
        if _KEYS_THAT_ARE_PYTHONS.get(key, key) not in LABELS.get(part, {})
    ]
    assert missing == []


def test_every_label_is_in_words() -> None:
    for part, labels in LABELS.items():
        for key, label in labels.items():
            shown = label if isinstance(label, str) else label.each
            assert "_" not in shown, (part, key)
            assert not shown.endswith("."), (part, key)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.parent.name)
def test_a_value_is_told_by_label_kind_and_owner(file: Path) -> None:
    source = Document.read(file.read_text(encoding="utf-8"), file=file.name).source
    told = {location: wording(location, source.value) for location in source.spans if location}
    for location, said in told.items():
        assert said.label, location
        assert said.of, location
        assert not re.search(r"[_/{}]", said.label), (location, said)
    leaves = [said for location, said in told.items() if not isinstance(_at(source.value, location), dict | list)]
    assert all(said.kind for said in leaves)
    names = [said.whole for said in leaves if said.of != "the feature"]
    assert len(set(names)) == len(names), "two values that are called alike cannot be told apart"


def _at(value: Any, location: tuple[str | int, ...]) -> Any:
    for step in location:
        value = value[step]
    return value


@pytest.mark.parametrize(
    ("location", "label", "kind"),
    [
        (("stream", "path", 2, 0), "point 3 along the stream, across the sheet", "length"),
        (("stream", "path", 2, 1), "point 3 along the stream, up the sheet", "length"),
        (("pond", "outline", "oval", 1), "width", "length"),
        (("pond", "held"), "when it is topped up", "at rest or while running"),
        (("pond", "side"), "sides, so many up to one across", "number or vertical"),
        (("run", "pump", "curve", 1, 0), "point 2 of the pump's curve, flow", "flow"),
        (("run", "fittings", "long elbow"), "number of fittings: long elbow", "whole number"),
        (("run", "from"), "pond from which it draws", "name"),
        (("stream", "nonsense"), "nonsense", ""),
    ],
)
def test_what_a_place_in_the_file_is_called(location: tuple[str | int, ...], label: str, kind: str) -> None:
    said = wording(location, {})
    assert (said.label, said.kind) == (label, kind)


def test_owners_are_called_by_their_names() -> None:
    file = {
        "pond": {"id": "basin", "kind": "reservoir", "rims": [{"id": "r2"}, {}]},
        "stream": {"course": [{"bed": "b1"}, {"fall": "f1"}]},
        "built": [{"at": "falls/f1.crest"}],
    }
    assert wording(("pond", "depth"), file).of == "reservoir basin"
    assert wording(("pond", "rims", 0, "berm"), file).whole == "height of the berm, rim r2"
    assert wording(("pond", "rims", 1, "berm"), file).of == "rim 2"
    assert wording(("stream", "width"), file).of == "the stream"
    assert wording(("stream", "course", 0, "length"), file).of == "bed b1"
    assert wording(("stream", "course", 1, "drop"), file).whole == "drop, bed to bed, fall f1"
    assert wording(("built", 0, "level"), file).of == "the level as built at the crest of fall f1"
    assert wording(("name",), file).whole == "name"


def test_paths_in_a_text_are_put_into_words() -> None:
    assert spoken("1.30 m above ponds/basin.waterline") == "1.30 m above the waterline of pond basin"
    assert spoken("stone on falls/f1.crest") == "stone on the crest of fall f1"
    assert spoken("books/levels.csv, line 4 of 1/2 in and/or") == "books/levels.csv, line 4 of 1/2 in and/or"
    assert named("rims/r2.top") == "rim r2"


def test_an_error_calls_the_value_by_its_name() -> None:
    with pytest.raises(InputError) as caught:
        Document.read(TEXT.replace("drop: 200 mm", "drop: wide", 1), file="feature.yaml")
    problem = caught.value.problems[0]
    assert problem.words == "drop, bed to bed, fall f1"
    assert problem.field.endswith(".drop")
    assert str(problem).startswith(f"feature.yaml:{problem.line}:{problem.column}: drop, bed to bed, fall f1: ")


def test_a_small_drop_that_was_meant_so_is_a_ripple_wherever_it_is_named() -> None:
    feature = complete(Document.read(TWO_DROPS, file="feature.yaml"))
    assert [named_in(feature, f"falls/{id}.crest") for id in ("low", "high")] == ["ripple low", "fall high"]
    assert named("falls/low", ripples=("low",)) == "ripple low"
    assert named("falls/low") == "fall low"


TWO_DROPS = """\
format: 1
name: Invented
pond: {id: pond, waterline: 0 in, outline: {oval: [12 ft, 8 ft]}}
stream:
  head: 20 in
  course: [{bed: b1, length: 5 ft}, {fall: low, drop: 4 in}, {bed: b2, length: 5 ft}, {fall: high}]
"""
