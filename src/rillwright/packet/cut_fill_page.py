"""What to cut and what to build up: the plan of it, sections where they say most, and the soil part by part."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Assessment, Earth, Finished, Judged, NotRun
from rillwright.drawings import Cut, Drawing, chosen_cuts, draw_cut, draw_earth_plan, earth_plan_scale
from rillwright.errors import InputError
from rillwright.packet.blocks import Words, beside, column, facts, picture, run, table, words
from rillwright.packet.paper import DRAWING, Block, Sheet
from rillwright.packet.pdf import page_count
from rillwright.packet.say import Say, breakable

QUESTION = "What to cut and what to build up"
_PLAN_SHARES = (0.42, 0.48, 0.54, 0.6)  # of the sheet's width
_GAP_MM = 6.0
_UNDER_MM = (30.0, 5.0)  # under the plan: for words and heads, and for each part
_ASIDE_MM = (36.0, 60.0, 90.0)  # under the sections: for soil, remarks, cautions
_BLANK = {"feature": "", "levels": "", "checked": "", "said": ""}
_HATCHED = (
    "Hatched one way: cut; crossed: fill; the closer, the deeper. Dashed: contours of the ground before. Figures here "
    "are by the surface, as it is drawn."
)
_ORDERED = "by the surface, which follows every berm to its foot: go by this"
_CAUTION = (
    "Have buried services located and marked before the first dig; by hand near the marks. Nobody in a cut that the "
    "soil does not hold. Below a 1:1 line from a footing or a paving base nothing is dug until an engineer says so. "
    "An open hole is fenced overnight. Local codes and licensed practice come first."
)


def cut_and_fill(judged: Judged) -> Sheet | None:
    """The sheet on earth; None where the finished work was not worked out, or no ground is changed."""
    assessment = judged.assessment
    finished = assessment.finished
    if isinstance(finished, NotRun) or not finished.earth:
        return None
    cuts = chosen_cuts(assessment)
    ends = [(cut.letter, cut.start, cut.end) for cut in cuts]
    plan, left = _plan(assessment, finished, ends)
    sheet = None
    for aside_mm in _ASIDE_MM:
        sheet = _sheet(assessment, finished, cuts, plan=plan, left_mm=left, aside_mm=aside_mm)
        if page_count([sheet], title="", strip=_BLANK) == 1:
            break
    return sheet


def questions(judged: Judged) -> list[str]:
    """What stands on that sheet, where there is one."""
    finished = judged.assessment.finished
    return [] if isinstance(finished, NotRun) or not finished.earth else [QUESTION]


def _plan(
    assessment: Assessment, finished: Finished, ends: Sequence[tuple[str, XY, XY]]
) -> tuple[Drawing | str, float]:
    """The plan at the largest scale that a share of the sheet gives, in the least width that gives it [mm]."""
    width, height = DRAWING[assessment.feature.system].room
    high = height - _UNDER_MM[0] - _UNDER_MM[1] * len(finished.earth)
    scales = [earth_plan_scale(assessment, (share * width, high), ends) for share in _PLAN_SHARES]
    left = _PLAN_SHARES[scales.index(min(scales))] * width
    try:
        return draw_earth_plan(assessment, frame_mm=(left, high), cuts=ends), left
    except InputError as error:
        return f"Not drawn: {error}", left


def _sheet(
    assessment: Assessment,
    finished: Finished,
    cuts: Sequence[Cut],
    *,
    plan: Drawing | str,
    left_mm: float,
    aside_mm: float,
) -> Sheet:
    """The plan with its parts on the left, sections, soil and cautions on the right."""
    say = Say(assessment.feature.system)
    paper = DRAWING[say.system]
    wide, high = paper.room[0] - left_mm - _GAP_MM, paper.room[1] - aside_mm
    under = [words(run(_HATCHED, style="italic"), above=0.5, below=1.5), _parts(finished, say)]
    aside = [_section(assessment, cut, (wide, high / len(cuts))) for cut in cuts]
    soil = list(_soil(assessment, finished, say))
    aside += [facts(soil, label=38.0, gap=1.5)] if soil else []
    aside += [*_remarks(finished, say), words(run(_CAUTION), above=2.0, below=1.0)]
    shown = words(plan) if isinstance(plan, str) else picture(plan)
    return Sheet(
        question=QUESTION,
        paper=paper,
        blocks=(beside((left_mm, -1.0), ([shown, *under], aside)),),
        scale="" if isinstance(plan, str) else plan.scale_text,
    )


def _section(assessment: Assessment, cut: Cut, frame_mm: tuple[float, float]) -> Block:
    try:
        return picture(draw_cut(assessment, cut, frame_mm=frame_mm))
    except InputError as error:
        return words(f"Section {cut.letter} is not drawn: {error}")


def _parts(finished: Finished, say: Say) -> Block:
    """Cut and fill of each part, in place."""
    rows: list[list[Words]] = [
        [
            run(breakable(part.path), weight="semibold"),
            say.soil(part.cut_m3),
            say.soil(part.fill_m3),
            say.one(part.deepest_m, "m"),
            say.one(part.highest_m, "m") if part.highest_m > 0.0 else "–",
        ]
        for part in finished.earth
    ]
    if len(rows) > 1:
        totals = (sum(part.cut_m3 for part in finished.earth), sum(part.fill_m3 for part in finished.earth))
        rows.append([run("all", weight="semibold"), *(run(say.soil(one), weight="semibold") for one in totals), "", ""])
    heads = ("part", "cut, in place", "fill, in place", "deepest cut", "highest fill")
    return table(
        [column(head, -1.3 if n == 0 else -1.0, align="right" if n else "left") for n, head in enumerate(heads)],
        rows, pad=0.8,
    )  # fmt: skip


def _soil(assessment: Assessment, finished: Finished, say: Say) -> Iterator[tuple[str, str, str]]:
    """One balance, by the surface; what the order list has is said beside it."""
    earth = assessment.earth
    if isinstance(earth, NotRun):
        return
    soil = finished.soil
    beside = f"{_ORDERED}. The order list goes by the sizes of the parts and has {_listed(earth, say)}"
    if soil.out_m3 > 0.0:
        loads = f"{soil.truckloads} truckloads; " if soil.truckloads > 1 else ""
        loose = f"{loads}loose, {say.one(earth.swell, '-')} times its room; {beside}"
        yield "soil to place or cart", say.soil(soil.out_m3), loose
    if soil.brought_in_m3 > 0.0:
        in_place = f"in place: berms and banks take more than is dug; {beside}"
        yield "soil to bring in", say.soil(soil.brought_in_m3), in_place


def _listed(earth: Earth, say: Say) -> str:
    """What the quantities come to, in few words."""
    if earth.brought_in_m3 > 0.0:
        return f"{say.soil(earth.brought_in_m3)} to bring in"
    return f"{say.soil(earth.soil_out_m3)} to cart" if earth.soil_out_m3 > 0.0 else "nothing left over"


def _remarks(finished: Finished, say: Say) -> list[Block]:
    told = [re.sub(r"(\d[\d.]*) (m2|m3)\b", lambda found: say.one(float(found[1]), found[2]), remark)
            for remark in finished.remarks]  # fmt: skip
    return [words(breakable(f"{one[:1].upper()}{one[1:]}."), above=1.0, below=1.0) for one in told]
