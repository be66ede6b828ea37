"""Pipe runs, completed: from a body through a pump to an outlet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature.complete_pumps import run_pumps
from rillwright.feature.filling import Filling
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Body, Fall, Reach, Stream
from rillwright.feature.model_runs import Fitting, Pipe, Pump, Run, RunEnd, RunOutlet, Suction, ValveSet
from rillwright.feature.references import LevelRef
from rillwright.feature.resolve import Levels
from rillwright.feature.schema_runs import MeasuredSaid, OutletSaid, PipeSaid, RunSaid, SuctionSaid, ValveSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default, default_fittings, fitting, fittings, pipes_inch, pipes_metric


class Outlet(Struct, frozen=True):
    """Where a run ends: the stream and the links below the outlet."""

    id: str
    stream: Stream
    links: tuple[Reach | Fall, ...]

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(link for link in self.links if isinstance(link, Fall))


def outlets(streams: tuple[Stream, ...]) -> dict[str, Outlet]:
    """Every place where a run may end: stream heads and reaches, by id."""
    found = {}
    for stream in streams:
        for index, link in enumerate(stream.links):
            if isinstance(link, Reach):
                found[link.id] = Outlet(link.id, stream, stream.links[index:])
        found[stream.id] = Outlet(stream.id, stream, stream.links)
    return found


def run(
    said: RunSaid,
    id: str,
    location: Location,
    *,
    levels: Levels,
    source: Body,
    outlet: Outlet,
    shared_by: int,
    metric: bool,
    candidates: tuple[Pump, ...] = (),
) -> Run | None:
    """One run to one outlet; `shared_by` runs without a wanted flow share what the crests below ask for."""
    filling, path = levels.filling, f"runs/{id}"
    level = _end_level(said.outlet, outlet, location, levels=levels)
    if level is None:
        return None
    wanted = said.wanted.si if said.wanted else _wished(outlet, shared_by, levels, f"{path}.wanted")
    under = _yes(said.outlet_under_water, "pipe.outlet_under_water", filling, f"{path}.outlet_under_water")
    below = sum(link.length_m for link in outlet.links if isinstance(link, Reach))
    if said.length is not None:
        length = said.length.si
    else:
        length = below * (1 + default("pipe.run_spare").number)
        filling.computed("pipe.run_spare", length, unit="m", path=f"{path}.length")
    return _run(
        said,
        id,
        location,
        levels=levels,
        source=source,
        end=RunEnd(key=id, outlet=outlet.id, level=level, under_water=under, wanted_m3s=wanted),
        length_m=length,
        metric=metric,
        candidates=candidates,
    )


def branching_run(
    said: RunSaid,
    id: str,
    location: Location,
    *,
    levels: Levels,
    source: Body,
    outlets: Mapping[str, Outlet | Body],
    metric: bool,
    candidates: tuple[Pump, ...] = (),
) -> Run | None:
    """One run to several outlets, each with a pipe of its own from the point where they part."""
    assert said.outlets is not None
    if said.length is None:
        levels.filling.wrong(
            (*location, "length"), "a run with 'outlets' says the 'length' of its main", allowed="a length"
        )
    rows = [
        _outlet(row, (*location, "outlets", n), n, levels=levels, ends=outlets, metric=metric, path=f"runs/{id}")
        for n, row in enumerate(said.outlets)
    ]
    found = tuple(row for row in rows if row is not None)
    ids = [row.id for row in found]
    for n, each in enumerate(ids):
        if each in ids[:n]:
            levels.filling.wrong((*location, "outlets", n), "this id is used twice", found=each, allowed="an id once")
    if said.length is None or len(found) < len(rows):
        return None
    first = found[0]
    total = sum(row.wanted_m3s for row in found)
    made = _run(
        said,
        id,
        location,
        levels=levels,
        source=source,
        end=RunEnd(key=id, outlet=first.outlet, level=first.level, under_water=False, wanted_m3s=total),
        length_m=said.length.si,
        metric=metric,
        candidates=candidates,
    )
    return None if made is None else replace(made, outlets=found, outlet_under_water=first.under_water)


def _run(
    said: RunSaid,
    id: str,
    location: Location,
    *,
    levels: Levels,
    source: Body,
    end: RunEnd,
    length_m: float,
    metric: bool,
    candidates: tuple[Pump, ...],
) -> Run | None:
    """What a run to one outlet and a branching one have in common."""
    filling, path = levels.filling, f"runs/{id}"
    check_valve = _yes(said.check_valve, "pipe.check_valve", filling, f"{path}.check_valve")
    losses = _fittings(
        said.fittings, location, levels=levels, under_water=end.under_water, check_valve=check_valve, path=path
    )
    if losses is not None and said.fittings is None and said.suction is not None:  # it is the suction pipe's
        losses = tuple(fitting for fitting in losses if fitting.kind != "entrance")
    pumps = run_pumps(said.pump, said.pumps, id, location, levels=levels)
    where, summit, lowest, suction, pipe = (*location, "pipe"), None, None, None, None
    if said.pipe is not None:
        pipe = _pipe(said.pipe, where, levels=levels, length=length_m, metric=metric, path=f"{path}.pipe")
    if said.summit is not None:
        summit = _summit(said.summit, (*location, "summit"), levels=levels, end=end)
    if said.lowest is not None:
        lowest = _lowest(said.lowest, (*location, "lowest"), levels=levels, end=end)
    if said.suction is not None:
        suction = _suction(said.suction, (*location, "suction"), levels=levels, metric=metric, path=path)
    asked = (said.pipe, said.summit, said.lowest, said.suction)
    if losses is None or any(
        want is not None and got is None for want, got in zip(asked, (pipe, summit, lowest, suction), strict=True)
    ):
        return None
    return Run(
        id=id,
        source=source.id,
        outlet=end.outlet,
        pump=pumps[0] if pumps else None,
        pipe=pipe,
        pipe_length_m=length_m,
        fittings=losses,
        wanted_m3s=end.wanted_m3s,
        outlet_level=end.level,
        outlet_under_water=end.under_water,
        check_valve=check_valve,
        more_pumps=pumps[1:],
        arrangement=said.arrangement or "parallel",
        suction=suction,
        summit=summit,
        lowest=lowest,
        drain=said.drain,
        valve=_valve(said.valve),
        temperature_c=said.temperature.si - 273.15 if said.temperature else None,
        measured_m3s=_measured(said.measured),
        measured_error=_error(said.measured, filling, f"{path}.measured.error"),
        candidates=candidates,
    )


def _end_level(said: LevelRef | None, outlet: Outlet | Body, location: Location, *, levels: Levels) -> Level | None:
    """The level of an outlet: as said, else the first crest below it, or the waterline of the body that it enters."""
    if said is not None:
        return levels.resolve(said, Surface.WATER, (*location, "outlet"), origin=Origin.PLANNED)
    return outlet.waterline if isinstance(outlet, Body) else outlet.falls[0].crest


def _lowest(said: LevelRef, location: Location, *, levels: Levels, end: RunEnd) -> Level | None:
    """The lowest point of a pipe, which cannot lie over its end."""
    found = levels.resolve(said, Surface.MARK, location, origin=Origin.PLANNED)
    if found is not None and found.m > end.level.m:
        levels.filling.wrong(
            location,
            "the lowest point of the pipe lies above its outlet",
            found=found.source,
            allowed="a level under that of its outlet",
        )
        return None
    return found


def _summit(said: LevelRef, location: Location, *, levels: Levels, end: RunEnd) -> Level | None:
    """The highest point of a pipe, where that lies above its end."""
    found = levels.resolve(said, Surface.MARK, location, origin=Origin.PLANNED)
    if found is not None and found.m < end.level.m:
        levels.filling.wrong(
            location,
            "the highest point of the pipe lies below its outlet",
            found=found.source,
            allowed="a level above that of its outlet; leave it out where the outlet is the highest point",
        )
        return None
    return found


def _outlet(
    said: OutletSaid,
    location: Location,
    n: int,
    *,
    levels: Levels,
    ends: Mapping[str, Outlet | Body],
    metric: bool,
    path: str,
) -> RunOutlet | None:
    filling, id = levels.filling, said.id or f"outlet{n + 1}"
    if said.to not in ends:
        allowed = ", ".join(ends)
        filling.wrong((*location, "to"), "must name a stream, a bed or a pond", found=said.to, allowed=allowed)
        return None
    end, here = ends[said.to], f"{path}.outlets.{id}"
    if isinstance(end, Body) and said.wanted is None:
        filling.wrong((*location, "wanted"), "an outlet into a pond says the flow 'wanted' there", allowed="a flow")
        return None
    wanted = said.wanted.si if said.wanted else _wished(cast(Outlet, end), 1, levels, f"{here}.wanted")
    under = _yes(said.outlet_under_water, "pipe.outlet_under_water", filling, f"{here}.outlet_under_water")
    level = _end_level(said.outlet, end, location, levels=levels)
    losses = _fittings(
        said.fittings, location, levels=levels, under_water=under, path=here, usual="pipe.outlet_fittings"
    )
    pipe = None
    if said.pipe is not None:
        where = (*location, "pipe")
        pipe = _pipe(said.pipe, where, levels=levels, length=said.length.si, metric=metric, path=f"{here}.pipe")
    if level is None or losses is None or (said.pipe is not None and pipe is None):
        return None
    summit = None
    if said.summit is not None:
        at = RunEnd(key=id, outlet=end.id, level=level, under_water=under, wanted_m3s=wanted)
        summit = _summit(said.summit, (*location, "summit"), levels=levels, end=at)
        if summit is None:
            return None
    return RunOutlet(
        id=id,
        outlet=end.id,
        pipe=pipe,
        pipe_length_m=said.length.si,
        fittings=losses,
        wanted_m3s=wanted,
        level=level,
        under_water=under,
        valve=_valve(said.valve),
        at=None if said.at is None else (said.at[0].si, said.at[1].si),
        summit=summit,
    )


def _suction(said: SuctionSaid, location: Location, *, levels: Levels, metric: bool, path: str) -> Suction | None:
    here, length = f"{path}.suction", said.length.si
    pipe = _pipe(said.pipe, (*location, "pipe"), levels=levels, length=length, metric=metric, path=f"{here}.pipe")
    losses = _fittings(
        said.fittings, location, levels=levels, under_water=False, path=here, usual="pipe.suction_fittings"
    )
    at = levels.resolve(said.pump_at, Surface.MARK, (*location, "pump_at"), origin=Origin.PLANNED)
    if pipe is None or losses is None or at is None:
        return None
    return Suction(pipe=pipe, fittings=losses, pump_at=at)


def _valve(said: ValveSaid | None) -> ValveSet | None:
    return None if said is None else ValveSet(k=said.k, kv_m3h=said.kv, cv=said.cv)


def _measured(said: MeasuredSaid | None) -> float | None:
    if said is None:
        return None
    if said.flow is not None:
        return said.flow.si
    assert said.volume is not None
    assert said.time is not None
    return said.volume.si / said.time.si


def _error(said: MeasuredSaid | None, filling: Filling, path: str) -> float:
    """Of a flow as measured, either way [-]: as typed, or that of a meter or of a bucket."""
    if said is None:
        return 0.0
    if said.flow is not None:
        return filling.value(said.error, "measured.meter", path)
    return filling.value(said.error, "measured.bucket", path)


def _yes(typed: bool | None, name: str, filling: Filling, path: str) -> bool:
    return typed if typed is not None else filling.word(None, name, path) == "yes"


def _wished(outlet: Outlet, shared_by: int, levels: Levels, path: str) -> float:
    """Flow for the look: so much for each width of the widest crest below the outlet [m3/s]."""
    look = outlet.stream.look.value
    per_width = default(f"flow.{look}").number
    widest = max(fall.crest_width_m for fall in outlet.falls)
    wished = per_width * widest / shared_by
    levels.filling.computed(f"flow.{look}", wished, unit="m3/s", path=path)
    return wished


def _pipe(said: PipeSaid, location: Location, *, levels: Levels, length: float, metric: bool, path: str) -> Pipe | None:
    filling = levels.filling
    sizes = (*pipes_inch(), *pipes_metric())
    listed = {_key(name): size for size in sizes for name in (size.name, size.text)}  # as it is typed, or as printed
    inside, source = (said.inside.si, "as given") if said.inside else (None, "")
    if inside is None:
        assert said.name is not None
        size = listed.get(_key(said.name))
        if size is None:
            names = [size.name for size in (pipes_metric() if metric else pipes_inch())]
            filling.wrong((*location, "name"), "is not a listed pipe", found=said.name, allowed=", ".join(names))
            return None
        inside, source = size.inside_m, size.source
    return Pipe(
        name=said.name or f"inside {said.inside.text if said.inside else ''}",
        inside_m=inside,
        length_m=length,
        roughness_m=filling.value(said.roughness, "pipe.roughness", f"{path}.roughness"),
        source=source,
    )


def _key(name: str) -> str:
    return re.sub(r"\s+", " ", name.strip().lower())


def _fittings(
    said: Mapping[str, int] | None,
    location: Location,
    *,
    levels: Levels,
    under_water: bool,
    path: str,
    check_valve: bool = True,
    usual: str = "pipe.fittings",
) -> tuple[Fitting, ...] | None:
    """Losses by kind: as typed, or the usual lot, plus the exit where the outlet lies under water."""
    filling = levels.filling
    if said is None:
        filling.word(None, usual, f"{path}.fittings")
        counts = dict(default_fittings(usual))
        if not check_valve:
            counts.pop("swing check", None)
    else:
        counts = dict(said)
    if under_water:
        counts.setdefault("exit", 1)
    rows = []
    for kind, count in counts.items():
        try:
            row = fitting(kind)
        except (KeyError, InputError):
            known = ", ".join(row.kind for row in fittings())
            filling.wrong((*location, "fittings", kind), "is not a listed fitting", found=kind, allowed=known)
            continue
        rows.append(Fitting(kind=kind, count=count, k=row.k, source=row.source))
    return tuple(rows) if len(rows) == len(counts) else None
