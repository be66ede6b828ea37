"""The job page: what is to be built, what it comes to, what worries most, and the cautions once."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Judged, NotRun
from rillwright.drawings import Drawing, DrawingStyle, draw_staircase
from rillwright.packet.blocks import facts, heading, marked, newspaper, picture, run, words
from rillwright.packet.checked import not_checked, read, relative_to
from rillwright.packet.key_numbers import key_numbers
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import breakable
from rillwright.packet.worries import in_full

QUESTION = "What is to be built"
INVENTED = "Invented example: no such place, people or job."
_STAIRS_MM = 58.0

CAUTIONS = (
    (
        "Electricity and water.",
        "Circuits for pumps and lights are a licensed electrician's work, with protection and isolation as local code "
        "asks. No extension leads. Pump off and isolated before a hand goes in.",
    ),
    (
        "Cuts.",
        "Earth falls without a sign. Slope or support every side as the soil and local rules ask, keep spoil and "
        "machines back from the edge, nobody in an unsupported cut. Have buried services located before the first dig, "
        "and fence an open hole overnight.",
    ),
    (
        "Lifts.",
        "Nobody under a load, nor between a load and a hole or a wall. Lift by the machine's own chart and the "
        "slings' own tags. Look up for wires.",
    ),
    (
        "Drowning.",
        "Any depth can drown a child. A barrier where local code asks for one, a cover on every suction, a way out on "
        "each side.",
    ),
    ("Local codes and licensed practice", "come before anything that is printed here."),
)


def front(judged: Judged, readings: Sequence[str]) -> Sheet:
    """The job page."""
    assessment = judged.assessment
    feature = assessment.feature
    paper = READING[feature.system]
    blocks: list[Block] = [words(run(breakable(feature.name), pt=20.0, weight="semibold"), above=0.0, below=2.5)]
    if feature.scenario:
        blocks.append(marked(run(INVENTED, weight="semibold")))
    if feature.note:
        blocks.append(words(breakable(feature.note)))
    blocks.append(words(f"{relative_to(assessment)}; every level names its surface."))
    if judged.worst:
        blocks += [heading("What worries most"), in_full(judged.worst, feature.system, basis=False)]
    blocks += [picture(stairs) for stairs in _staircases(judged, paper.room[0])]
    blocks += [heading("What it comes to"), newspaper([facts(_broken(key_numbers(assessment)), label=27.0)])]
    blocks += [heading("Before anybody starts"), newspaper(_cautions())]
    blocks += [heading("What this rests on"), *rests_on(judged, readings)]
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _broken(rows: Sequence[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    return [(breakable(label), breakable(value), breakable(note)) for label, value, note in rows]


def _staircases(judged: Judged, width_mm: float) -> list[Drawing]:
    shape = judged.assessment.shape
    if isinstance(shape, NotRun):
        return []
    return [
        draw_staircase(judged, frame_mm=(width_mm, _STAIRS_MM), style=DrawingStyle(), stream=budget.stream)
        for budget in shape.budgets
    ]


def _cautions() -> list[Block]:
    return [words([[run(head, weight="semibold")], said], below=1.5) for head, said in CAUTIONS]


def rests_on(judged: Judged, readings: Sequence[str]) -> list[Block]:
    """Which readings, and what was not checked."""
    assessment = judged.assessment
    these = read(assessment, readings)
    lines = (
        f"Checked against these readings: {', '.join(these)}."
        if these
        else ("Checked against no readings yet: every level is planned or guessed.")
    )
    blocks = [words(breakable(lines))]
    missing = not_checked(assessment)
    if missing:
        blocks.append(words(breakable("Not checked: " + "; ".join(missing) + ".")))
    return blocks
