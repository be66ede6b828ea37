"""The first visit on one page: what fits, what it takes, what worries, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rillwright.assessment import Assessment, Judged
from rillwright.drawings import draw_staircase, draw_thumbnail
from rillwright.packet.assumed import alike, same_of, value_used
from rillwright.packet.blocks import beside, facts, heading, inline, marked, parted, picture, run, whole, words
from rillwright.packet.checked import checked, relative_to
from rillwright.packet.front import INVENTED, trimmed
from rillwright.packet.key_numbers import key_numbers
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.pdf import page_count, print_sheets
from rillwright.packet.say import Say, breakable, fitted
from rillwright.packet.strip import strip
from rillwright.packet.worries import in_full

QUESTION = "What fits"
_CAP_MM = 2.05
_CAUTION = (
    "Any depth can drown a child; power at water is a licensed electrician's work; nobody in an unsupported cut or "
    "under a load. Local codes and licensed practice come first."
)


@dataclass(frozen=True, slots=True)
class _Fit:
    """How much is said: the first that fits one page is taken."""

    gap_mm: float
    stairs_mm: float
    notes: bool
    remedies: bool
    defaults: int | None


_FITS = (
    _Fit(3.2, 60.0, True, True, None),
    _Fit(2.4, 52.0, True, True, None),
    _Fit(1.8, 52.0, True, True, None),
    _Fit(1.2, 46.0, True, True, None),
    _Fit(1.2, 42.0, True, False, None),
    _Fit(1.2, 38.0, False, False, None),
    *(_Fit(1.2, 36.0, False, False, count) for count in (60, 45, 30, 20, 12, 6, 0)),
)


def visit_page(judged: Judged, *, readings: Sequence[str] = (), date: str = "") -> bytes:
    """The one page of a first visit as the bytes of a PDF; the same values give the same bytes.

    Parameters
    ----------
    judged
        What was assessed and judged from the nine answers.
    readings
        What it was checked against, as people say it.
    date
        As it is to stand on the page.
    """
    feature = judged.assessment.feature
    foot = strip(judged.assessment, readings, date)
    sheet = Sheet(question=QUESTION, paper=READING[feature.system])
    for fit in _FITS:
        sheet = _sheet(judged, readings, fit)
        if page_count([sheet], title=feature.name, strip=foot) == 1:
            break
    return print_sheets([sheet], title=feature.name, strip=foot)


def _sheet(judged: Judged, readings: Sequence[str], fit: _Fit) -> Sheet:
    assessment = judged.assessment
    feature = assessment.feature
    paper = READING[feature.system]
    wide = paper.room[0]
    name = fitted(feature.name, wide, cap_mm=4.2, weight="semibold")
    blocks: list[Block] = [words(run(name, pt=18.0, weight="semibold"), above=0.0, below=2.5)]
    if feature.scenario:
        blocks.append(marked(run(INVENTED, weight="semibold")))
    said = fitted(f"{relative_to(assessment)}. {checked(assessment, readings)}.", 2 * wide - 20.0, cap_mm=_CAP_MM)
    blocks.append(words(breakable(said), above=1.5, below=2.0))
    if judged.worst:
        blocks.append(in_full(judged.worst, feature.system, basis=False, remedies=fit.remedies))
    blocks.append(_pictures(judged, wide, fit.stairs_mm))
    rows = key_numbers(assessment)
    lines = [1.6 + len(value) // 34 + (-(-len(note) // 34) if fit.notes else 0) for _, value, note in rows]
    told = [
        facts([(breakable(label), breakable(value), breakable(note) if fit.notes else "")], label=24.0, gap=fit.gap_mm)
        for label, value, note in rows
    ]
    blocks.append(parted(told, lines))
    blocks.append(
        whole(list(_defaults(assessment, fit.defaults, 0.4 * fit.gap_mm + 0.6)), above=2.0 * fit.gap_mm + 1.0)
    )
    blocks.append(words(inline(run("Always: ", weight="semibold"), run(_CAUTION)), above=2.5, below=0.0))
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _pictures(judged: Judged, wide: float, high: float) -> Block:
    left = round(0.66 * wide, 1)
    right = wide - left - 6.0
    stairs = trimmed(draw_staircase(judged, frame_mm=(left, high)))
    plan = draw_thumbnail(judged, frame_mm=(right, min(high, 44.0)))
    return beside((left, right), ((picture(stairs),), (picture(plan),)))


def _defaults(assessment: Assessment, most: int | None, gap_mm: float) -> Iterator[Block]:
    """Every default, those that are alike together, in three columns."""
    yield heading("Taken where nothing was said: type the field in the file to change it", above=0.0, pt=10.0)
    say = Say(assessment.feature.system)
    rows = [
        (these[0].path + (f", the same of {same_of(these)}" if len(these) > 1 else ""), value_used(these[0], say))
        for these in alike(assessment.defaults_used)
    ]
    shown = rows if most is None else rows[:most]
    if len(shown) < len(rows):
        shown.append((f"and {len(rows) - len(shown)} more", "in the feature's file"))
    told = [
        words(
            inline(run(breakable(path) + " ", colour="quiet"), run(value, weight="semibold")),
            above=gap_mm,
            below=gap_mm,
        )
        for path, value in shown
    ]
    yield parted(told, [-(-len(path + value) // 36) for path, value in shown], count=3)
