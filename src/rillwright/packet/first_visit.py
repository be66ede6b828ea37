"""The first visit on one page: what fits, what it takes, what worries, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, Judged
from rillwright.drawings import draw_staircase, draw_thumbnail
from rillwright.packet.assumed import alike, in_file, value_used
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
    coefficients: bool
    defaults: int | None


_FITS = (
    _Fit(3.2, 60.0, True, True, True, None),
    _Fit(2.4, 52.0, True, True, True, None),
    _Fit(3.2, 56.0, True, True, False, None),
    _Fit(2.4, 52.0, True, True, False, None),
    _Fit(1.8, 48.0, True, True, False, None),
    _Fit(1.8, 44.0, True, True, False, None),
    _Fit(1.2, 44.0, True, True, False, None),
    _Fit(1.2, 44.0, True, False, False, None),
    _Fit(1.2, 44.0, False, False, False, None),
    *(_Fit(1.2, 44.0, False, False, False, count) for count in (30, 20, 12, 6, 0)),
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
        Of each question that was not answered: the question, what is taken, and its field in the file.
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
    worst = worst_of(judged)
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
    blocks.append(words(inline(run("Always: ", weight="semibold"), run(_CAUTION)), above=2.5, below=0.0))
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _pictures(judged: Judged, wide: float, high: float) -> Block:
    left = round(0.66 * wide, 1)
    right = wide - left - 6.0
    stairs = trimmed(draw_staircase(judged, frame_mm=(left, high)))
    plan = draw_thumbnail(judged, frame_mm=(right, min(high, 52.0)))
    return beside((left, right), ((picture(stairs),), (picture(plan),)))


def _unanswered(taken: Sequence[Taken], gap_mm: float) -> Iterator[Block]:
    """Every question that was not answered, what is taken, and where one changes it, in three columns."""
    yield heading("Not answered, and taken: change it in the file", above=0.0, pt=10.0)
    told = [_entry(f"{question} ", value, f" {field}", gap_mm) for question, value, field in taken]
    yield parted(told, [-(-len("".join(each)) // 42) for each in taken], count=3)


def _entry(before: str, value: str, after: str, gap_mm: float) -> Block:
    runs = [run(breakable(before), colour="quiet"), run(breakable(value), weight="semibold")]
    runs += [run(breakable(after), colour="quiet", style="italic")] if after else []
    return words(inline(*runs), above=gap_mm, below=gap_mm)


def _defaults(assessment: Assessment, fit: _Fit, gap_mm: float) -> Iterator[Block]:
    """Every default, those that are alike together, in three columns; the methods' own are counted where room is short.

    A field of the file comes before a coefficient of a method, which no line of the file says.
    """
    yield heading("Taken where nothing was said: type the field in the file to change it", above=0.0, pt=10.0)
    say = Say(assessment.feature.system)
    groups = alike(assessment.defaults_used)
    fields = [these for these in groups if these[0].path.partition("/")[0] in _FIELDS]
    others = [these for these in groups if these[0].path.partition("/")[0] not in _FIELDS]
    rows = [(in_file(these, assessment.feature), value_used(these[0], say)) for these in fields]
    more = 0 if fit.defaults is None else max(len(rows) - fit.defaults, 0)
    rows = rows[: len(rows) - more]
    if fit.coefficients:
        rows += [(these[0].path.partition("/")[2], value_used(these[0], say)) for these in others]
    elif others:
        rows.append((f"and {len(others)} coefficients of the methods", "in the packet"))
    if more:
        rows.append((f"and {more} more", "in the feature's file"))
    told = [_entry(f"{path} ", value, "", gap_mm) for path, value in rows]
    yield parted(told, [-(-len(path + value) // 36) for path, value in rows], count=3)


_FIELDS = ("feature", "site", "liners", "ponds", "streams", "runs", "reaches", "falls", "rims", "laps")
