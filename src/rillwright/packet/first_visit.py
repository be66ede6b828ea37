"""The first visit on one page: what fits, what it takes, what worries, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, Judged
from rillwright.drawings import draw_staircase, draw_thumbnail
from rillwright.judge import before_the_dig, remedy_of
from rillwright.packet.assumed import alike, in_words, value_used
from rillwright.packet.blocks import beside, facts, heading, inline, marked, parted, picture, run, whole, words
from rillwright.packet.checked import checked, relative_to
from rillwright.packet.front import INVENTED
from rillwright.packet.key_numbers import key_numbers
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.pdf import page_count, print_sheets
from rillwright.packet.say import Say, breakable, fitted
from rillwright.packet.strip import strip
from rillwright.packet.trimming import trimmed
from rillwright.packet.worries import in_full, worst_of
from rillwright.units import style_for

Taken = tuple[str, str, str]
QUESTION = "What fits"
_CAP_MM = 2.05
_CAUTION = (
    "Any depth can drown a child; power at water is a licensed electrician's work; nobody in an unsupported cut or "
    "under a load. Local codes and licensed practice come first."
)


class _Fit(Struct, frozen=True):
    """How much is said: the first that fits one page is taken."""

    gap_mm: float
    stairs_mm: float
    notes: bool
    remedies: bool
    defaults: int | None


_FITS = (
    _Fit(3.2, 60.0, True, True, None),
    _Fit(3.2, 56.0, True, True, None),
    _Fit(2.4, 52.0, True, True, None),
    _Fit(1.8, 48.0, True, True, None),
    _Fit(1.8, 44.0, True, True, None),
    _Fit(1.2, 44.0, True, True, None),
    *(_Fit(1.2, 44.0, True, True, count) for count in (30, 24, 18)),
    _Fit(1.2, 44.0, True, False, None),
    _Fit(1.2, 44.0, False, False, None),
    *(_Fit(1.2, 44.0, False, False, count) for count in (30, 20, 12, 6, 0)),
)


def visit_page(judged: Judged, *, readings: Sequence[str] = (), date: str = "", taken: Sequence[Taken] = ()) -> bytes:
    """The one page of a first visit as the bytes of a PDF; the same values give the same bytes.

    Parameters
    ----------
    judged
        What was assessed and judged from the nine answers.
    readings
        What it was checked against, as people say it.
    date
        As it is to stand on the page.
    taken
        Of each question that was not answered: the question, what is taken, and its field in the file, which no client
        is told.
    """
    feature = judged.assessment.feature
    foot = strip(judged.assessment, readings, date)
    sheet = Sheet(question=QUESTION, paper=READING[feature.system])
    for fit in _FITS:
        sheet = _sheet(judged, readings, taken, fit)
        if page_count([sheet], title=feature.name, strip=foot) == 1:
            break
    return print_sheets([sheet], title=feature.name, strip=foot)


def _sheet(judged: Judged, readings: Sequence[str], taken: Sequence[Taken], fit: _Fit) -> Sheet:
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
    if feature.note:
        note = fitted(feature.note, 3 * wide - 30.0, cap_mm=_CAP_MM, weight="semibold")
        blocks.append(words(run(breakable(note), weight="semibold"), above=0.0, below=2.0))
    if feature.site.note:
        noted = fitted(feature.site.note, 3 * wide - 40.0, cap_mm=_CAP_MM)
        blocks.append(
            words(inline(run("Noted there: ", weight="semibold"), run(breakable(noted))), above=0.0, below=2.0)
        )
    worst = worst_of(judged, visit=True)
    if worst:
        blocks.append(in_full(worst, feature.system, basis=False, remedies=fit.remedies))
    blocks.append(_pictures(judged, wide, fit.stairs_mm))
    rows = key_numbers(assessment)
    lines = [1.6 + len(value) // 34 + (-(-len(note) // 34) if fit.notes else 0) for _, value, note in rows]
    told = [
        facts([(breakable(label), breakable(value), breakable(note) if fit.notes else "")], label=24.0, gap=fit.gap_mm)
        for label, value, note in rows
    ]
    blocks.append(parted(told, lines))
    pad, above = 0.4 * fit.gap_mm + 0.6, 1.6 * fit.gap_mm + 1.0
    if taken:
        blocks.append(whole(list(_unanswered(taken, pad)), above=above))
    blocks.append(whole(list(_defaults(assessment, fit, pad)), above=above))
    before = [remedy_of(each, style_for(feature.system)) for each in before_the_dig(judged.findings)]
    said = " ".join([*before, _CAUTION])
    blocks.append(words(inline(run("Always: ", weight="semibold"), run(said)), above=2.5, below=0.0))
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _pictures(judged: Judged, wide: float, high: float) -> Block:
    left = round(0.66 * wide, 1)
    right = wide - left - 6.0
    stairs = trimmed(draw_staircase(judged, frame_mm=(left, high)))
    plan = draw_thumbnail(judged, frame_mm=(right, min(high, 52.0)))
    return beside((left, right), ((picture(stairs),), (picture(plan),)))


def _unanswered(taken: Sequence[Taken], gap_mm: float) -> Iterator[Block]:
    """Every question that was not answered, and what is taken, in three columns."""
    yield heading("Not answered, and taken as usual", above=0.0, pt=10.0)
    told = [_entry(f"{question} ", value, gap_mm) for question, value, _ in taken]
    yield parted(told, [-(-len(f"{question} {value}") // 42) for question, value, _ in taken], count=3)


def _entry(before: str, value: str, gap_mm: float) -> Block:
    told = inline(run(breakable(before), colour="quiet"), run(breakable(value), weight="semibold"))
    return words(told, above=gap_mm, below=gap_mm)


def _defaults(assessment: Assessment, fit: _Fit, gap_mm: float) -> Iterator[Block]:
    """Every value that nobody typed, in words, those that are alike together; the methods' own are counted."""
    yield heading("Taken where nothing was said", above=0.0, pt=10.0)
    say = Say(assessment.feature.system)
    told = [(in_words(these, assessment.feature), these) for these in alike(assessment.defaults_used)]
    rows = [(label, value_used(these[0], say)) for label, these in told if label]
    others = len(told) - len(rows)
    more = 0 if fit.defaults is None else max(len(rows) - fit.defaults, 0)
    rows = rows[: len(rows) - more]
    if others:
        rows.append((f"and {others} coefficients of the methods", "in the packet"))
    if more:
        rows.append((f"and {more} more", "in the packet"))
    entries = [_entry(f"{label} ", value, gap_mm) for label, value in rows]
    yield parted(entries, [-(-len(label + value) // 36) for label, value in rows], count=3)
