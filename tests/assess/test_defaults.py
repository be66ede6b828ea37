"""Every default that a layer reads is listed with the assessment, and none that it did not read."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from msgspec.structs import replace

import rillwright
import rillwright.containment.odds  # steps load these when asked; what they read is to be heard
import rillwright.shape.finished
from rillwright import job, sources
from rillwright.assess import STEPS, Inputs, assess
from rillwright.assess.assumed import ASSUMED, OF_BOOKS, assumed
from rillwright.assessment import BodyKind, Feature, NotRun
from rillwright.errors import NoAnswer
from rillwright.feature import Document, complete
from rillwright.sources import price_book

HOME = Path(rillwright.__file__).parent
UNSTEPPED = {"lift.tipping_share", "lift.hydraulic_share"}  # read where a person rates a machine, in no step
UNSTEPPED |= {"ground.amiss"}  # where there are files of ground
UNSTEPPED |= {  # when something is asked about a shot on built work
    f"survey.{name}" for name in ("twice", "small_off", "large_off", "near_plan", "least_slip")
}
POND = "format: 1\nname: Invented\nunits: us\npond:\n  id: pond\n  waterline: 0 in\n  outline: {oval: [12 ft, 8 ft]}\n"
RIM = "  rims:\n    - {id: low, ground: 3 in}\n"
RILL = """stream:
  head: 20 in
  course:
    - {bed: b1, length: 5 ft}
    - {fall: f1, drop: 4 in}
    - {bed: b2, length: 5 ft}
    - {fall: f2}
"""
PUMP = "run:\n  pump: {box: {shut_off: 12 ft, greatest_flow: 4000 gal/h}}\n"
FILL = "filled:\n  - {meter: 400 gal, level: 6 in below ponds/pond.waterline}\n"
TEXTS = {
    "pond alone": POND,
    "pond with a rim": POND + RIM,
    "pond and stream, no pump": POND + RIM + RILL,
    "pond and stream, a box": POND + RILL + PUMP,
    "a fill meter was read": POND + FILL,
    "soil is named": POND + RILL + PUMP + "site:\n  soil: clay\n",
}


def features() -> Iterator[tuple[str, Feature]]:
    for name, text in TEXTS.items():
        yield name, complete(Document.read(text, file="feature.yaml"))
    for name, folder in job.examples().items():
        yield name, job.open(folder).feature


FEATURES = dict(features())


@contextmanager
def listening(monkeypatch: pytest.MonkeyPatch) -> Iterator[set[str]]:
    """The names of all defaults that any layer asks for meanwhile."""
    heard: set[str] = set()

    def default(name: str) -> sources.Default:
        heard.add(name)
        return sources.default(name)

    with monkeypatch.context() as patched:
        for name, module in list(sys.modules.items()):
            ours = name.startswith("rillwright.") and not name.startswith("rillwright.sources")
            if ours and getattr(module, "default", None) is sources.default:
                patched.setattr(module, "default", default)
        yield heard


@pytest.mark.parametrize("name", FEATURES)
def test_each_step_reads_what_it_says(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    feature = FEATURES[name]
    inputs = Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())
    branches: dict[str, object] = {}
    saying: dict[str, set[str]] = {}
    for step in STEPS:
        with listening(monkeypatch) as heard:
            try:
                branches[step.name] = step.make(inputs, branches, lambda share, doing: False)
            except NoAnswer as stopped:  # what is slow was told to stop: it has read all by then
                branches[step.name] = NotRun(str(stopped))
        said = saying[step.name] = {each for group in ASSUMED[step.name] if group.of(feature) for each in group.names}
        before = {name for read in step.branches for name in saying[read]} if step.tier != "quick" else set()
        assert heard - before == said, step.name


IN_ONE_FOLDER = {  # steps by their folder
    "water": ("water", "over_time"),
    "shape": ("shape", "surface", "finished"),
    "containment": ("containment", "odds", "spilt"),
}
IN_OTHERS = {step for folder, steps in IN_ONE_FOLDER.items() for step in steps if step != folder}


@pytest.mark.parametrize("layer", [*(name for name in ASSUMED if name not in IN_OTHERS), "survey"])
def test_the_lists_name_all_that_stands_in_the_code(layer: str) -> None:
    steps = IN_ONE_FOLDER.get(layer, (layer,))
    said = set(OF_BOOKS)
    if layer != "survey":
        said = {name for step in steps for group in ASSUMED[step] for name in group.names}
    assert named_in(HOME / layer) - UNSTEPPED == said


def named_in(folder: Path) -> set[str]:
    """Every word of code that is the name of a default, in calls alone."""
    known = {entry.name for entry in sources.defaults()}
    found = set()
    for file in folder.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                words = {arg.value for arg in node.args if isinstance(arg, ast.Constant)}
                if node.func.id in ("default", "ends_of", "_ends", "_band", "_default_band"):
                    found |= {str(word) for word in words} & known
    return found


def test_every_step_has_its_list() -> None:
    assert list(ASSUMED) == [step.name for step in STEPS]


@pytest.mark.parametrize("example", sorted(job.examples()))
def test_an_example_lists_them_once(example: str) -> None:
    judged = job.judge(job.open(job.examples()[example]))
    used = [entry for entry in judged.assessment.defaults_used if entry.path == f"{_step(entry.path)}/{entry.default}"]
    names = [entry.default for entry in used]
    assert len(names) == len(set(names))
    assert {"survey.rule", "level.sigma_shot", "stone.density", "earth.berm_side", "crew.hours"} <= set(names)


def _step(path: str) -> str:
    return path.partition("/")[0]


def test_what_was_not_made_took_nothing() -> None:
    feature = FEATURES["pond and stream, a box"]
    assert assumed(feature, NotRun("no book"), []) == ()
    assert {each.path.partition("/")[0] for each in assumed(feature, NotRun("no book"), ["liner"])} == {"liner"}


def test_a_reservoir_of_stone_is_asked_from_where_it_is_of_blocks() -> None:
    feature = FEATURES["pond alone"]
    body = replace(feature.bodies[0], kind=BodyKind.RESERVOIR)
    buried = replace(feature, bodies=(body,))
    found = assess(Inputs(feature=buried, surveyed=NotRun("no book"), prices=price_book()))
    assert "stone.blocks_from" in {entry.default for entry in found.defaults_used}
