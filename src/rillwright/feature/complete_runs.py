"""Pipe runs, completed: from a body through a pump to an outlet."""

from __future__ import annotations

import re
from itertools import pairwise

from msgspec import Struct

from rillwright.errors import InputError
from rillwright.feature.filling import Filling
from rillwright.feature.levels import Origin, Surface
from rillwright.feature.model import Body, Fall, Fitting, Pipe, Pump, Reach, Run, Stream
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import PipeSaid, PumpSaid, RunSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default, default_fittings, fitting, fittings, pipes_inch, pipes_metric
from rillwright.units import Band


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
) -> Run | None:
    """One run; `shared_by` runs without a wanted flow share what the crests below ask for."""
    filling, path = levels.filling, f"runs/{id}"
    first = outlet.falls[0]
    level = first.crest
    if said.outlet is not None:
        found = levels.resolve(said.outlet, Surface.WATER, (*location, "outlet"), origin=Origin.PLANNED)
        if found is None:
            return None
        level = found
    wanted = said.wanted.si if said.wanted else _wished(outlet, shared_by, levels, f"{path}.wanted")
    under = _yes(said.outlet_under_water, "pipe.outlet_under_water", filling, f"{path}.outlet_under_water")
    check_valve = _yes(said.check_valve, "pipe.check_valve", filling, f"{path}.check_valve")
    below = sum(link.length_m for link in outlet.links if isinstance(link, Reach))
    if said.length is not None:
        length = said.length.si
    else:
        length = below * (1 + default("pipe.run_spare").number)
        filling.computed("pipe.run_spare", length, unit="m", path=f"{path}.length")
    losses = _fittings(said, location, levels=levels, under_water=under, check_valve=check_valve, path=path)
    if losses is None:
        return None
    pipe = None
    if said.pipe is not None:
        pipe = _pipe(said.pipe, (*location, "pipe"), levels=levels, length=length, metric=metric, path=path)
        if pipe is None:
            return None
    return Run(
        id=id,
        source=source.id,
        outlet=outlet.id,
        pump=_pump(said.pump, id, (*location, "pump"), levels=levels),
        pipe=pipe,
        pipe_length_m=length,
        fittings=losses,
        wanted_m3s=wanted,
        outlet_level=level,
        outlet_under_water=under,
        check_valve=check_valve,
    )


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


def _pump(said: PumpSaid | None, run: str, location: Location, *, levels: Levels) -> Pump | None:
    if said is None:
        return None
    filling = levels.filling
    if said.box is not None:
        curve: tuple[tuple[float, float], ...] = ((0.0, said.box.shut_off.si), (said.box.greatest_flow.si, 0.0))
    else:
        assert said.curve is not None
        curve = tuple((point[0].si, point[1].si) for point in said.curve)
        for index, (left, right) in enumerate(pairwise(curve)):
            if right[0] <= left[0] or right[1] >= left[1]:
                filling.wrong(
                    (*location, "curve", index + 1),
                    "a pump curve goes to more flow and less head from point to point",
                    found=" at ".join(q.text for q in said.curve[index + 1]),
                    allowed="flow rising, head falling",
                )
                return None
    spread = default("pump.efficiency")
    low, high = spread.low or spread.number, spread.high or spread.number
    if said.watts is None:
        filling.number("pump.efficiency", f"runs/{run}.pump.watts")
    return Pump(
        id=said.id or f"{run}-pump",
        curve=curve,
        two_numbers=said.box is not None,
        watts=said.watts.si if said.watts else None,
        efficiency=Band(spread.number, low, high),
        proposed=False,
    )


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
        roughness_m=filling.value(said.roughness, "pipe.roughness", f"{path}.pipe.roughness"),
        source=source,
    )


def _key(name: str) -> str:
    return re.sub(r"\s+", " ", name.strip().lower())


def _fittings(
    said: RunSaid, location: Location, *, levels: Levels, under_water: bool, check_valve: bool, path: str
) -> tuple[Fitting, ...] | None:
    """Losses by kind: as typed, or the usual lot, plus the exit where the outlet lies under water."""
    filling = levels.filling
    if said.fittings is None:
        filling.word(None, "pipe.fittings", f"{path}.fittings")
        counts = dict(default_fittings())
        if not check_valve:
            counts.pop("swing check", None)
    else:
        counts = dict(said.fittings)
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
