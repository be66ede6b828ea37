"""What to ask about a reading on built work: nothing is refused, nothing dropped, what looks wrong is asked about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from difflib import get_close_matches

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature import ElementPath, Place, Surface
from rillwright.sources import default, limit
from rillwright.survey.book import Rod
from rillwright.survey.lengths import DIVISIONS
from rillwright.survey.nanometres import level_nm, reading_nm, whole_nm
from rillwright.survey.shot_rows import Read
from rillwright.survey.standing import Standing, said_nm, slip_of

_STILL_TO_CUT = (Surface.DIG,)  # above plan while there is digging to do
_STILL_TO_FILL = (Surface.GROUND, Surface.WATER)  # below plan while there is filling to do
_SET = (Surface.STONE_TOP, Surface.BED, Surface.LINER, Surface.MARK)


class Plan(Struct, frozen=True):
    """What can be shot on a feature: places by path and surface, marks, and the paths for a message."""

    places: Mapping[tuple[str, Surface], Place]
    surfaces: Mapping[str, tuple[Surface, ...]]
    marks: Mapping[str, int]  # level of each mark [nm]

    def place(self, read: Read) -> Place | None:
        """The place that a reading was taken at, if it is one."""
        if read.path is None or read.surface is None:
            return None
        return self.places.get((bare(read.path), read.surface))

    def planned_nm(self, read: Read) -> int | None:
        """The level wanted there [nm]; of a mark the one that it has."""
        place = self.place(read)
        if place is not None and place.planned_m is not None:
            return whole_nm(place.planned_m)
        if read.path is not None and read.path.collection == "marks" and read.mark is not None:
            return self.marks.get(read.path.id)
        return None


def bare(path: ElementPath) -> str:
    """The path without the place on its part."""
    return str(replace(path, place=""))


def plan_of(expected: Sequence[Place], marks: Mapping[str, int]) -> Plan:
    """The places by path and surface."""
    surfaces: dict[str, list[Surface]] = {}
    for place in expected:
        surfaces.setdefault(str(place.path), []).append(place.surface)
    by_key = {(str(place.path), place.surface): place for place in expected}
    return Plan(by_key, {path: tuple(found) for path, found in surfaces.items()}, marks)


def ask_of_places(read: Read, plan: Plan) -> None:
    """Whether it was taken at something known, on a surface that this has."""
    path = read.path
    if path is None or not _known(path, plan):
        typed = read.shot.path
        every = [*plan.surfaces, *(f"marks/{id}" for id in plan.marks)]
        near = get_close_matches(typed, every, n=3, cutoff=0.5)
        meant = f": {', '.join(near)}?" if near else "; a free point is points/NAME"
        read.ask("element", f"there is no {typed!r} in this feature{meant}")
        return
    if read.surface is None:
        allowed = ", ".join(plan.surfaces.get(bare(path), tuple(Surface)))
        what = f"{read.shot.surface!r} is no surface" if read.shot.surface else "no surface is said"
        read.ask("surface", f"{what}: which one was read? Here: {allowed}")
    elif bare(path) in plan.surfaces and read.surface not in plan.surfaces[bare(path)]:
        allowed = ", ".join(plan.surfaces[bare(path)])
        read.ask("surface", f"{bare(path)} has no {read.surface}: which surface was read? Here: {allowed}")


def _known(path: ElementPath, plan: Plan) -> bool:
    if path.collection == "points":
        return True
    if path.collection == "marks":
        return path.id in plan.marks
    return bare(path) in plan.surfaces


def ask_of_rods(standing: Standing) -> None:
    """Whether the rod is the one by which the height of instrument was taken."""
    anchor = standing.anchor
    for read in standing.reads:
        if anchor is None or read is anchor or read.rod is None or read.benchmark:
            continue
        if (read.rod, read.rod_name) != (anchor.rod, anchor.rod_name):
            text = f"read on {read.shot.rod!r}, while the benchmark of set-up {standing.id} was read on "
            read.ask("rod", text + f"{anchor.shot.rod!r}: both hold only if they begin at their foot")


def ask_of_plan(read: Read, standing: Standing, plan: Plan) -> None:
    """Whether a slip, or another rod, would bring it to what was planned there."""
    planned = plan.planned_nm(read)
    if planned is None or read.benchmark or standing.height_nm is None:
        return
    if read.level_nm is None:
        _ask_of_other_rod(read, standing, planned)
        return
    off = read.level_nm - planned
    if abs(off) <= whole_nm(default("survey.small_off").number):
        return
    waits = _waits(read, off)
    slip = slip_of(read, off, near_m=limit("survey.benchmark").bad)
    if slip is None and not waits:
        slip = slip_of(read, off, near_m=default("survey.near_plan").number)
    side = "above" if off > 0 else "below"
    where = f"{said_nm(off, read)} {side} plan"
    if slip is not None and (abs(slip.change_m) >= default("survey.least_slip").number or "tenths" in slip.words):
        more = "; or is so much still to " + ("cut" if off > 0 else "fill") if waits else ""
        read.ask("foot", f"{where}, which a slip explains ({slip.words}): read it once more{more}", doubts=not waits)
    elif (
        not waits
        and abs(off) > whole_nm(default("survey.large_off").number)
        and not _ask_of_other_rod(read, standing, planned)
    ):
        read.ask("far", f"{where}: another place, another surface, or misread? Read it once more")


def ask_of_far(read: Read, plan: Plan) -> None:
    """Whether a level lies so far off plan that it was taken elsewhere; no slip of a rod can explain it."""
    planned = plan.planned_nm(read)
    if planned is None or read.level_nm is None:
        return
    off = read.level_nm - planned
    if not _waits(read, off) and abs(off) > whole_nm(default("survey.large_off").number):
        side = "above" if off > 0 else "below"
        read.ask("far", f"{said_nm(off, read)} {side} plan: another place, or another surface? Have it taken once more")


def _waits(read: Read, off_nm: int) -> bool:
    """Whether it lies where there is still something to dig away, or to fill."""
    return (read.surface in _STILL_TO_CUT and off_nm > 0) or (read.surface in _STILL_TO_FILL and off_nm < 0)


def _ask_of_other_rod(read: Read, standing: Standing, planned_nm: int) -> bool:
    """Whether the same figures on another rod would be at plan; only usual rods stand in for each other."""
    near = whole_nm(default("survey.near_plan").number)
    direct = read.rod.direct if read.rod is not None else False
    for division in DIVISIONS:
        rod = Rod(division, direct)
        if rod == read.rod or standing.height_nm is None:
            continue
        try:
            off = level_nm(standing.height_nm, reading_nm(read.shot.reading, rod), sign=rod.sign) - planned_nm
        except InputError:
            continue
        if abs(off) <= near:
            text = f"on a rod in {division} {read.shot.reading!r} would be {said_nm(off, read)} from plan"
            read.questions = [q for q in read.questions if q.code != "reading"]
            read.ask("rod", f"{text}: which one was read?")
            return True
    return False


def ask_of_repeats(reads: Sequence[Read]) -> None:
    """The same reading sent twice, and a place read again that differs."""
    last: dict[tuple[str, Surface | None], Read] = {}
    for read in reads:
        earlier = last.get(read.spot)
        if read.withdrawn:
            continue
        last[read.spot] = read
        if earlier is None or read.benchmark:
            continue
        if _same_twice(earlier, read):
            text = f"line {earlier.shot.line} has the same reading at the same place: sent twice, or read twice?"
            read.ask("duplicate", text, doubts=False)
        elif earlier.level_nm is not None and read.level_nm is not None:
            _ask_again(earlier, read)


def _same_twice(one: Read, two: Read) -> bool:
    if (one.shot.setup, one.shot.who, one.nm, one.shot.reading) != (
        two.shot.setup,
        two.shot.who,
        two.nm,
        two.shot.reading,
    ):
        return False
    return (
        one.when is None
        or two.when is None
        or abs(two.when - one.when) <= timedelta(minutes=default("survey.twice").number)
    )


def _ask_again(earlier: Read, read: Read) -> None:
    assert earlier.level_nm is not None
    assert read.level_nm is not None
    gap = read.level_nm - earlier.level_nm
    asked = any(question.doubts for question in (*earlier.questions, *read.questions))
    if read.surface in _SET and abs(gap) > whole_nm(limit("survey.benchmark").bad) and not asked:
        way = "higher" if gap > 0 else "lower"
        where = f"line {earlier.shot.line}, set-up {earlier.shot.setup}"
        text = f"{said_nm(gap, read)} {way} than before ({where}): set anew since, or misread? The later one counts"
        read.ask("again", text, doubts=False)


def ask_across(reads: Sequence[Read]) -> None:
    """A reading of a set-up that its reader had left: it stands only if the instrument was set up there again."""
    now: dict[str, str] = {}
    left: dict[str, set[str]] = {}
    for read in reads:
        who, setup = read.shot.who, read.shot.setup
        gone = left.setdefault(who, set())
        if read.benchmark:
            gone.discard(setup)
        if setup in gone:
            text = f"set-up {setup} was left for {now[who]} before this: which one was it read from?"
            read.ask("across", text)
            continue
        if who in now and now[who] != setup:
            gone.add(now[who])
        now[who] = setup
