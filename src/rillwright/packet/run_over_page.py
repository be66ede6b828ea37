"""Where it would run over: every edge of liner unrolled, its worst places, what to raise, where spilt water goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from rillwright.assessment import Assessment, Containment, Judged, NotRun, Raise, RimProfile, SparePoint
from rillwright.drawings import (
    MOST_RAISED,
    Drawing,
    DrawingStyle,
    Spare,
    all_ways,
    along,
    draw_rim_strip,
    draw_spill_plan,
    first_out,
    followed_over,
    goes_to,
    profiles_of,
    spare_of,
    wanted_m,
    whose,
)
from rillwright.errors import InputError
from rillwright.packet.blocks import Words, beside, column, picture, run, table, whole, words
from rillwright.packet.paper import DRAWING, Block, Sheet
from rillwright.packet.pdf import page_count
from rillwright.packet.say import Say, breakable

QUESTION = "Where would it run over?"
_WORST = 3
_RESOLVED_M = 1e-3  # less than a rod can tell
_STRIPS_MM = (176.0, 160.0, 140.0, 122.0, 106.0, 90.0, 76.0)  # for all strips together
_LEAST_STRIP_MM = 42.0
_LEFT = 0.5  # of the sheet's width, for the strips
_GAP_MM = 6.0
_WORDS_MM = 36.0  # over the plan
_BLANK = {"feature": "", "levels": "", "checked": "", "said": ""}
_COLOUR = {Spare.ENOUGH: "ink", Spare.LESS: "watch", Spare.LEAVES: "stop"}
_HOLDING = {"while running": "topped up while running", "at rest": "topped up at rest"}
CAUTION = (
    "Water that runs over softens the ground that holds the rim and goes on by itself. Somebody stays with it at the "
    "first filling and at the first stop, with the pump's switch at hand. Where it would go towards a building, a "
    "footing or a neighbour, nothing is filled before that edge is shot and stands as drawn."
)


def run_over(judged: Judged) -> Sheet | None:
    """The sheet on rims; None where no edge of liner was laid out."""
    assessment = judged.assessment
    profiles = profiles_of(assessment)
    containment = assessment.containment
    if isinstance(containment, NotRun) or not profiles:
        return None
    plan = _plan(assessment, containment)
    sheet = None
    for strip_mm in _STRIPS_MM:
        sheet = _sheet(assessment, containment, profiles, plan=plan, strip_mm=strip_mm)
        if page_count([sheet], title="", strip=_BLANK) == 1:
            break
    return sheet


def questions(judged: Judged) -> list[str]:
    """What stands on that sheet, where there is one."""
    containment = judged.assessment.containment
    return [] if isinstance(containment, NotRun) or not profiles_of(judged.assessment) else [QUESTION]


def _sheet(
    assessment: Assessment,
    containment: Containment,
    profiles: Sequence[RimProfile],
    *,
    plan: Sequence[Block],
    strip_mm: float,
) -> Sheet:
    """Strips with the places that matter on the left, where the water would go on the right."""
    say = Say(assessment.feature.system)
    paper = DRAWING[say.system]
    left = _LEFT * paper.room[0]
    each_mm = max(_LEAST_STRIP_MM, strip_mm / len(profiles))
    blocks: list[Block] = [_head("Where the rim has least to spare"), _worst(assessment, profiles, say)]
    for profile in profiles:
        draw = partial(draw_rim_strip, assessment, frame_mm=(left, each_mm), rim=profile.path)
        blocks.append(whole([_head(_rim_words(assessment, profile, say)), _drawn(draw)], above=2.5))
    blocks += _raises(containment.raises, profiles, say)
    return Sheet(question=QUESTION, paper=paper, blocks=(beside((left, -1.0), (blocks, plan)),))


def _plan(assessment: Assessment, containment: Containment) -> list[Block]:
    """Where spilt water would go, in words and to scale."""
    say = Say(assessment.feature.system)
    width, height = DRAWING[say.system].room
    frame = ((1.0 - _LEFT) * width - _GAP_MM, height - _WORDS_MM)
    told = [words(one, above=1.0, below=1.5) for one in (_goes(assessment, say), run(CAUTION))]
    plan = _drawn(partial(draw_spill_plan, assessment, frame_mm=frame, style=DrawingStyle(grid=False)))
    return [_head("The way that spilt water would go"), *told, plan]


def _head(text: str) -> Block:
    return words(run(text, weight="semibold", pt=10.0), above=1.0, below=1.0, sticky=True)


def _drawn(draw: Callable[[], Drawing]) -> Block:
    """A drawing, or why it is none."""
    try:
        return picture(draw())
    except InputError as error:
        return words(f"Not drawn: {error}")


def _worst(assessment: Assessment, profiles: Sequence[RimProfile], say: Say) -> Block:
    """The three places with least to spare, each of another body, reach or rim."""
    rows: list[list[Words]] = []
    for _, place in worst_places(profiles)[:_WORST]:
        wanted = wanted_m(assessment, place.water)
        word = spare_of(place.spare_m.value, wanted=wanted)
        rows.append(
            [
                run(breakable(_name(place.path)), weight="semibold"),
                along(place.along_m, say.system),
                run(_spare(place, say), weight="semibold", colour=_COLOUR[word]),
                say.one(wanted, "m"),
                run(word.value, weight="semibold", colour=_COLOUR[word]),
                f"{place.case}, {_HOLDING.get(place.holding, place.holding)}",
            ]
        )
    heads = ("least to spare", "along the rim", "height to spare", "wanted", "", "against its highest water")
    widths = (-1.0, -0.8, -1.6, -0.6, -1.05, -2.0)
    return table([column(head, width) for head, width in zip(heads, widths, strict=True)], rows, pad=0.8)


def worst_places(profiles: Sequence[RimProfile]) -> list[tuple[RimProfile, SparePoint]]:
    """The lowest place of what gives each top, the worst of all first."""
    least: dict[str, tuple[RimProfile, SparePoint]] = {}
    for profile in profiles:
        for point in profile.points:
            if point.path not in least or point.spare_m.value < least[point.path][1].spare_m.value:
                least[point.path] = (profile, point)
    return sorted(least.values(), key=lambda found: found[1].spare_m.value)


def _spare(place: SparePoint, say: Say) -> str:
    spare = place.spare_m
    if spare.value < 0.0:
        return f"{say.one(-spare.value, 'm')} under water"
    low = f"{'−' if spare.low < 0.0 else ''}{say.one(abs(spare.low), 'm')}"
    high = say.one(spare.high, "m")
    said = say.one(spare.value, "m")
    return said if low == high else f"{said} ({low} to {high})"


def _rim_words(assessment: Assessment, profile: RimProfile, say: Say) -> str:
    """Round what an edge runs, and how long it is."""
    waters = list(dict.fromkeys(point.water for point in profile.points))
    bodies = [path.partition("/")[2] for path in waters if path.startswith("ponds/")]
    streams = [
        stream.id
        for stream in assessment.feature.streams
        if any(f"reaches/{reach.id}" in waters for reach in stream.reaches)
    ]
    named = [*bodies, *(breakable(id) if id.startswith("stream") else f"stream {id}" for id in streams)]
    island = "The edge of an island in" if profile.kind == "island" else "The edge of the liner round"
    return f"{island} {' and '.join(named) or profile.path}, {along(profile.length_m, say.system)}, unrolled"


def _raises(raises: Sequence[Raise], profiles: Sequence[RimProfile], say: Say) -> list[Block]:
    """What to raise, by how much, and what the first inch on it gains; or that nothing needs to be."""
    if not raises:
        return [words("Every place has the height that is wanted: nothing needs to be raised.", above=1.5, below=1.5)]
    long = {profile.path: profile.length_m for profile in profiles}
    inch = "25 mm" if say.system == "metric" else "inch"
    rows: list[list[Words]] = [
        [
            run(breakable(_name(one.path)), weight="semibold"),
            _stretch(one, long[one.rim], say),
            run(say.one(one.by_m, "m"), weight="semibold"),
            "read it there first" if one.read_first else say.one(one.build_m, "m") if one.build_m > 0.0 else "–",
            say.one(one.inch_gains_m, "m") if one.inch_gains_m >= _RESOLVED_M else "nothing, others are lower",
        ]
        for one in raises[:MOST_RAISED]
    ]
    heads = (
        "raise the rim at",
        "along it from",
        "once settled, by",
        "so build it up by",
        f"what the first {inch} gains",
    )
    widths = (-1.2, -1.6, -1.0, -1.0, -1.5)
    blocks: list[Block] = [table([column(h, w) for h, w in zip(heads, widths, strict=True)], rows, pad=0.7)]
    rest = raises[MOST_RAISED:]
    if rest:
        told = "; ".join(f"{_name(one.path)}, {_stretch(one, long[one.rim], say)}" for one in rest)
        most = say.one(max(one.by_m for one in rest), "m")
        blocks.append(words(breakable(f"Then by {most} or less: {told}."), above=1.0, below=1.5))
    return [whole(blocks, above=2.0)]


def _name(path: str) -> str:
    kind, _, id = path.partition("/")
    if kind == "reaches":
        return f"bank of {id.removesuffix('.bank')}"
    return f"{'at ' if kind == 'falls' else ''}{id}"


def _stretch(one: Raise, length_m: float, say: Say) -> str:
    """From and to along a rim, counted on from its beginning where the stretch runs over that."""
    start, end = (s % length_m if s > length_m else s for s in (one.from_m, one.to_m))
    over = "over 0 to" if end < start and end > 0.0 else "to"
    return f"{along(start, say.system)} {over} {along(end, say.system)}"


def _goes(assessment: Assessment, say: Say) -> Words:
    """What leaves first; where the water of each body and reach would go, what stands in its way first."""
    told = list(_ways(assessment, say))
    if not told:
        told = ["Nothing is known of the ground beside the rim, so nobody can say where to."]
    said = (*first_out(assessment), *told, followed_over(assessment))
    return run(breakable(" ".join(each for each in said if each)))


def _ways(assessment: Assessment, say: Say) -> Iterator[str]:
    together: dict[str, list[str]] = {}
    for spill in all_ways(assessment):
        at = "" if spill.over == "overflow" else f" at {along(spill.along_m, say.system)} along the rim"
        together.setdefault(goes_to(spill), []).append(f"{whose(assessment, spill)}{at}")
    for where, whose_water in together.items():
        yield f"From {', '.join(whose_water)}: {where}."
