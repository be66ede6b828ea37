"""Cases of hold points: how one stands by what the service has, then with the ticks that wait in a phone as well."""

from __future__ import annotations

from random import Random

from rillwright.build import HoldPoint, HoldShot, HoldState, HoldTape, HoldWhen, hold_states, item_names
from rillwright.feature import ElementPath, Surface
from rillwright.survey import ReducedShot, Shot, Tick, taped_within_m
from tests.vectors.lengths import Json

DAY = "2026-05-04"
_LENGTHS = ("12 ft 1 in", "1.2 m", "3' 11 1/4\"", "1.26 m", "1.2606 m", "99 ft", "photo files/a.png; 1.19 m")
_NOTES = (*_LENGTHS, "abc", "2/0", "photo files/a.png", "1.2")


def holds(rng: Random) -> list[Json]:
    return [_case(rng, number) for number in range(80)]


def _case(rng: Random, number: int) -> Json:
    hold = _hold(rng)
    shots = [] if hold.at.startswith("marks/") else [_shot(rng, shot) for shot in hold.shoot if rng.random() < 0.5]
    names = list(item_names(hold)) if rng.random() < 0.5 else []  # each of its lines is ticked, then some once more
    rng.shuffle(names)
    more = [_tick(rng, hold, minute) for minute in range(len(names), len(names) + rng.choice([0, 1, 2, 8]))]
    ticks = [*(_done(rng, name, hold, minute) for minute, name in enumerate(names)), *more]
    sent = rng.randint(0, len(ticks))
    (before,) = hold_states([hold], ticks[:sent], shots, day=DAY)
    (after,) = hold_states([hold], ticks, shots, day=DAY)
    waiting = [{column: getattr(tick, column) for column in Tick.__struct_fields__} for tick in ticks[sent:]]
    return {"name": f"hold {number}", "hold": _json(hold), "said": _state(before), "waiting": waiting,
            "stands": _state(after)}  # fmt: skip


def _hold(rng: Random) -> HoldPoint:
    daily = rng.random() < 0.2
    return HoldPoint(
        id="dig.pond",
        when=HoldWhen.COVER,
        at="marks/bm" if daily else "ponds/pond",
        text="Before it is covered",
        shoot=tuple(
            HoldShot(path=f"ponds/pond.{part}", surface=Surface.DIG, text=part, wanted_m=-0.5, tolerance_m=0.025)
            for part in ("floor", "shelf")[: rng.randint(0, 2)]
        ),
        tape=tuple(
            HoldTape(text=f"width {n}", wanted_m=rng.choice([1.2, 1.2, None])) for n in range(rng.randint(0, 2))
        ),
        look=("no roots",),
        photograph=("all of it",) if rng.random() < 0.5 else (),
        initials=("lead", "mason")[: rng.randint(1, 2)],
    )


def _shot(rng: Random, asked: HoldShot) -> ReducedShot:
    shot = Shot(uuid=f"s-{asked.path}", time=f"{DAY}T08:00:00+02:00", path=asked.path, surface=asked.surface.value)
    return ReducedShot(
        shot=shot, path=ElementPath.parse(asked.path), surface=asked.surface, benchmark=False, level_nm=0,
        level_m=asked.wanted_m + rng.choice([0.0, 0.01, 0.2]), sigma_m=0.002, state="kept", why="",
        planned_m=asked.wanted_m, settles_m=0.0, judged=True, questions=(),
    )  # fmt: skip


def _tick(rng: Random, hold: HoldPoint, minute: int) -> Tick:
    """Often done, sometimes taken back; of one line, or of all of it."""
    return Tick(
        uuid=f"t-{minute}",
        time=f"{DAY}T09:{minute:02}:00+02:00",
        who="KA",
        hold=hold.id,
        item="" if rng.random() < 0.15 else rng.choice([*item_names(hold), "look nowhere"]),
        initials=rng.choice(["KA", "MO"]),
        state="done" if rng.random() < 0.8 else "undone",
        note=rng.choice(["", "", *_NOTES]),
    )


def _done(rng: Random, name: str, hold: HoldPoint, minute: int) -> Tick:
    time = f"{DAY}T09:{minute:02}:00+02:00"
    return Tick(uuid=f"t-{minute}", time=time, who="KA", hold=hold.id, item=name, initials="KA",
                note=rng.choice(["", *_NOTES]))  # fmt: skip


def _json(hold: HoldPoint) -> Json:
    return {
        "id": hold.id, "when": hold.when.value, "at": hold.at, "words": hold.text,
        "shoot": [{"path": one.path, "surface": one.surface.value, "words": one.text} for one in hold.shoot],
        "tape": [
            {"words": one.text, "wanted_m": one.wanted_m, "within_m": taped_within_m(one.wanted_m)} for one in hold.tape
        ],
        "look": list(hold.look), "photograph": list(hold.photograph), "initials": list(hold.initials),
    }  # fmt: skip


def _state(state: HoldState) -> Json:
    columns = ("name", "done", "ticked", "initials", "time", "note", "met", "asked")
    return {
        "id": state.hold.id, "done": state.done, "initials": state.initials, "time": state.time,
        "items": [{column: getattr(item, column) for column in columns} for item in state.items],
    }  # fmt: skip
