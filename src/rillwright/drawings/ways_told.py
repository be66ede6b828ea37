"""What leaves first as the water rises, and over what its way was followed: in words for every reader."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, BodyKind, NotRun, OverflowOut, SpillPath, named
from rillwright.drawings.words import length, quantity


def all_ways(assessment: Assessment) -> tuple[SpillPath, ...]:
    """Every way: of overflows, over rims, and where a rim may be lower; what runs up to something first."""
    ways = assessment.ways
    found = () if ways is None else (*ways.led, *ways.spills, *ways.may)
    return tuple(sorted(found, key=lambda one: (not one.towards, one.spare_m.value)))


def followed_over(assessment: Assessment) -> str:
    """Over which surface the ways were followed, as a sentence; nothing where there are none."""
    ways = assessment.ways
    if ways is None or not any(one.way for one in all_ways(assessment)):
        return ""
    left_out = "kerbs and drains" if ways.over == "finished surface" else "berms, cuts, kerbs and drains"
    return f"Followed over the {ways.over}, past the walls of buildings; {left_out} are not in it."


def first_out(assessment: Assessment) -> Iterator[str]:
    """For each body that has an overflow, what leaves first and how much before the rim goes, also if it is blocked."""
    containment = assessment.containment
    if not isinstance(containment, NotRun):
        for out in containment.outs:
            yield " ".join(_told(assessment, out))


def whose(assessment: Assessment, spill: SpillPath) -> str:
    """Whose water takes a way, in words."""
    reservoirs = [body.id for body in assessment.feature.bodies if body.kind is BodyKind.RESERVOIR]
    name = named(spill.water, reservoirs=reservoirs)
    if spill.over == "overflow":
        return f"the overflow of {name}"
    ways = assessment.ways
    return f"{name}, where it may be lower," if ways is not None and spill in ways.may else name


def _told(assessment: Assessment, out: OverflowOut) -> Iterator[str]:
    system = assessment.feature.system
    id = out.water.partition("/")[2]
    reservoirs = [body.id for body in assessment.feature.bodies if body.kind is BodyKind.RESERVOIR]
    name = named(out.water, reservoirs=reservoirs)
    sill = length(out.sill_m.value - assessment.feature.body(id).waterline.m, system)
    if out.room_m.value <= 0.0:
        yield f"As it rises, {name} runs over the lowest place of its rim before its overflow lets anything out."
        return
    room = length(out.room_m.value, system)
    yield f"As it rises, {name} leaves first by its overflow, {sill} above the waterline; its rim goes {room} higher."
    if out.room_m.low <= 0.0:
        yield "By the bands of both levels the rim may go first."
    carries = quantity(out.carries_m3s.low, "flow", system)
    peak = "" if out.peak_m3s is None else f"; the heaviest rain brings {quantity(out.peak_m3s.high, 'flow', system)}"
    yield f"Until then the overflow lets out {carries}{peak}."
    blocked = _blocked_m(assessment, id)
    if blocked is not None:
        over = blocked - out.rim_m.value
        stands = f"{length(abs(over), system)} {'over' if over >= 0.0 else 'under'}"
        yield f"If it is blocked, that rain after a stop stands {stands} the lowest place of the rim."


def _blocked_m(assessment: Assessment, body: str) -> float | None:
    water = assessment.water
    for way in () if isinstance(water, NotRun) else water.ways_out:
        if way.body == body and way.blocked_m is not None:
            return way.blocked_m.value
    return None
