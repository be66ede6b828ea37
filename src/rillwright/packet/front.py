"""The job page: what is to be built, what it comes to, what worries most, and the cautions once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rillwright.assessment import Judged, NotRun
from rillwright.drawings import Drawing, draw_staircase
from rillwright.packet.blocks import contents, facts, heading, inline, marked, parted, picture, run, whole, words
from rillwright.packet.checked import not_checked, read, relative_to
from rillwright.packet.key_numbers import key_numbers
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.pdf import page_count
from rillwright.packet.say import breakable
from rillwright.packet.trimming import trimmed
from rillwright.packet.worries import in_full, worst_of

QUESTION = "What is to be built"
INVENTED = "Invented example: no such place, people or job."
Contents = Sequence[tuple[str, Sequence[str]]]
_LARGE = {
    "us": "Drawings of the site print on 11 by 17 in (tabloid), all other pages on letter, at 100 %.",
    "metric": "Drawings of the site print on A3, all other pages on A4, at 100 %.",
}
_FITS = (
    (3.0, 55.0, True),
    (2.2, 50.0, True),
    (1.5, 44.0, True),
    (1.2, 40.0, True),
    (1.0, 38.0, True),
    (1.0, 34.0, True),
    (2.2, 44.0, False),
    (1.5, 40.0, False),
    (1.2, 38.0, False),
    (1.0, 32.0, False),
)  # white space, height of the staircase [mm]; whether what to do about each worry stands here too

_CLEAR_MM = 1.2  # between two facts, so that no tail touches the next head

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


def front(judged: Judged, readings: Sequence[str], foot: Mapping[str, str], pages: Contents = ()) -> Sheet:
    """The job page: set as roomy as one page allows, and roomy over two where it is too much for one."""
    title = judged.assessment.feature.name
    for gap, stairs, remedies in _FITS:
        sheet = _front(judged, readings, pages, gap_mm=gap, stairs_mm=stairs, remedies=remedies)
        if page_count([sheet], title=title, strip=foot) == 1:
            return sheet
    return _front(judged, readings, pages, gap_mm=_FITS[0][0], stairs_mm=_FITS[0][1], remedies=True)


def _front(
    judged: Judged, readings: Sequence[str], pages: Contents, *, gap_mm: float, stairs_mm: float, remedies: bool
) -> Sheet:
    assessment = judged.assessment
    feature = assessment.feature
    paper = READING[feature.system]
    above = 1.5 * gap_mm + 2.5
    blocks: list[Block] = [words(run(breakable(feature.name), pt=20.0, weight="semibold"), above=0.0, below=2.5)]
    if feature.scenario:
        blocks.append(marked(run(INVENTED, weight="semibold")))
    if feature.note:
        blocks.append(words(breakable(feature.note), above=gap_mm, below=gap_mm))
    if feature.site.note:
        noted = [run("Noted there: ", weight="semibold"), run(breakable(" ".join(feature.site.note.split())))]
        blocks.append(words(inline(*noted), above=gap_mm, below=gap_mm))
    relative = words(f"{relative_to(assessment)}; every level names its surface.", above=gap_mm, below=1.5)
    blocks += [relative, *rests_on(judged, readings)]
    worst = worst_of(judged)
    if worst:
        blocks += [
            heading("What worries most", above=above),
            in_full(worst, feature.system, basis=False, remedies=remedies),
        ]
    blocks += [picture(stairs) for stairs in _staircases(judged, paper.room[0], stairs_mm)]
    blocks += [heading("What it comes to", above=above), _two_columns(key_numbers(assessment), gap_mm)]
    blocks += [_cautions(above)]
    if pages:
        blocks.append(contents(pages, above=above))
        blocks.append(words(_LARGE[feature.system], above=1.2, below=0.0))
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _two_columns(rows: Sequence[tuple[str, str, str]], gap_mm: float) -> Block:
    broken = [tuple(breakable(words) for words in row) for row in rows]
    lines = [1.6 + len(value) // 34 + -(-len(note) // 34) for _, value, note in rows]
    clear = max(gap_mm, _CLEAR_MM)
    return parted([facts([(label, value, note)], label=24.0, gap=clear) for label, value, note in broken], lines)


def _staircases(judged: Judged, width_mm: float, height_mm: float) -> list[Drawing]:
    shape = judged.assessment.shape
    if isinstance(shape, NotRun):
        return []
    return [
        trimmed(draw_staircase(judged, frame_mm=(width_mm, height_mm), stream=budget.stream))
        for budget in shape.budgets
    ]


def _cautions(above_mm: float) -> Block:
    told = [
        words(inline(run(head + " ", weight="semibold"), run(said)), above=1.5, below=2.5) for head, said in CAUTIONS
    ]
    return whole(
        [heading("Before anybody starts", above=0.0), parted(told, [len(said) for _, said in CAUTIONS])], above=above_mm
    )


def rests_on(judged: Judged, readings: Sequence[str]) -> list[Block]:
    """Which readings, and what was not checked."""
    assessment = judged.assessment
    these = read(assessment, readings)
    lines = (
        f"Checked against these readings: {', '.join(these)}."
        if these
        else ("Checked against no readings yet: every level is planned or guessed.")
    )
    blocks = [words(breakable(lines), above=1.5)]
    missing = not_checked(assessment)
    if missing:
        blocks.append(words(breakable("Not checked: " + "; ".join(missing) + "."), above=1.5))
    return blocks
