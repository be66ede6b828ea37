"""Readings on built work for the rules on shots; limits of staking: facts of the trade (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from rillwright.assessment import HoldPoint, HoldWhen, Severity, SiteShots, Surface, Tick
from rillwright.feature import Place, places
from rillwright.survey import Shot, ShotSheet, ShotState, Unread, reduce_shots
from tests.findings.sample import feature

OK, WATCH = Severity.OK, Severity.WATCH
Case = tuple[str, dict[str, Any], Severity]
BENCHMARK = ("marks/pin", "mark", "0")  # off plan by nothing


def _level_m(path: str, surface: str) -> float:
    if path.startswith("marks/"):
        return {mark.id: mark.level.m for mark in feature().marks}[path.removeprefix("marks/")]
    return next(p.planned_m or 0.0 for p in places(feature()) if (str(p.path), p.surface.value) == (path, surface))


def shots(*rows: tuple[str, str, str], state: ShotState = ShotState.KEPT, unread: tuple[Unread, ...] = ()) -> SiteShots:
    """Readings by path, surface and how many millimetres they lie above plan, the last one in that state."""
    instrument = Fraction(repr(_level_m("marks/pin", "mark"))) + 2
    made = []
    for number, (path, surface, off) in enumerate(rows):
        wanted = Fraction(repr(round(_level_m(path, surface), 6))) + Fraction(off) / 1000
        made.append(
            Shot(
                uuid=f"u{number}",
                time=f"2026-05-04T08:{number:02}:00+02:00",
                setup="2026-05-04/1",
                rod="metric",
                path=path,
                surface=surface,
                reading=f"{float(instrument - wanted):.6f}",
                state=state if number == len(rows) - 1 else ShotState.KEPT,
                line=number + 2,
            )
        )
    marks = {mark.id: mark.level for mark in feature().marks}
    return reduce_shots(ShotSheet(shots=tuple(made), unread=unread), marks=marks, expected=places(feature()))


def _first(collection: str, surface: Surface) -> str:
    found: list[Place] = [p for p in places(feature()) if p.path.collection == collection and p.surface is surface]
    return str(found[0].path)


DIG = (_first("reaches", Surface.DIG), "dig")
CREST = (_first("falls", Surface.STONE_TOP), "stone top")
RIM = (_first("rims", Surface.GROUND), "ground")
WATER = (_first("ponds", Surface.WATER), "water")
TORN = Unread(line=9, text="u9,2026", why="cut off in writing", torn=True)


def _case(code: str, severity: Severity, *rows: tuple[str, str, str], **more: Any) -> Case:
    return code, {"shots": shots(BENCHMARK, *rows, **more)}, severity


def _held(severity: Severity, *holds: str) -> Case:
    """Two hold points at one place, the dig before the liner; ticked in the order given."""
    points = tuple(
        HoldPoint(id=f"{kind}.pond", when=HoldWhen.COVER, at="ponds/pond", text=f"before the {kind} is covered")
        for kind in ("dig", "liner")
    )
    ticks = tuple(Tick(uuid=hold, time="2026-05-04T08:00:00+02:00", hold=hold, initials="KA") for hold in holds)
    return "hold.open", {"ticks": ticks, "build.holds": points}, severity


SHOT_CASES = (
    _held(OK, "dig.pond"),
    _held(OK, "dig.pond", "liner.pond"),
    _held(WATCH, "liner.pond"),
    _case("shot.asked", WATCH, (*DIG, "0"), state=ShotState.DOUBTED),
    _case("shot.asked", WATCH, (*DIG, "0"), unread=(TORN,)),
    _case("shot.off", OK, (*DIG, "20")),
    _case("shot.off", WATCH, (*DIG, "30")),
    _case("shot.off", OK, (*CREST, "-3")),
    _case("shot.off", WATCH, (*CREST, "-5")),
    _case("shot.open", OK, (*DIG, "0"), BENCHMARK),
    _case("shot.open", WATCH, (*DIG, "0")),
    _case("shot.again", OK, (*CREST, "0"), (*RIM, "0")),
    _case("shot.again", WATCH, (*RIM, "0"), (*CREST, "0")),
    _case("shot.again", WATCH, (*RIM, "0"), (*WATER, "0")),
)
