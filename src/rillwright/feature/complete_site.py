"""Site, liner, laps and limits, completed."""

from __future__ import annotations

from difflib import get_close_matches

from rillwright.errors import InputError
from rillwright.feature import complete_surroundings as surroundings
from rillwright.feature.filling import Filling
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Body, Fall, Lap, LimitOverride, LinerSpec, Reach, Stream
from rillwright.feature.model_site import Access, Barrier, Machine, Services, Site
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import FeatureSaid, LapSaid, LinerSaid
from rillwright.feature.schema_site import AccessSaid, MachineSaid, SiteSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import limit, limits, machines, soils
from rillwright.units import parse


def site(said: SiteSaid | None, *, levels: Levels, system: str) -> Site:
    """The site as said; what nobody said about it stays unknown rather than assumed."""
    filling = levels.filling
    said = said or SiteSaid()
    soil = filling.word(said.soil, "site.soil", "site/site.soil")
    if said.soil is not None and soil not in {row.key for row in soils()}:
        known = ", ".join(row.key for row in soils())
        filling.wrong(("site", "soil"), "is not a listed soil", found=soil, allowed=known)
    water = said.groundwater and levels.resolve(said.groundwater, Surface.WATER, ("site", "groundwater"))
    crew = said.crew if said.crew is not None else round(filling.number("crew.people", "site/site.crew"))
    power = said.power
    return Site(
        north_rad=said.north.si if said.north else None,
        soil=soil,
        groundwater=water or None,
        accesses=tuple(_access(row, index, filling) for index, row in enumerate(said.access)),
        footings=surroundings.footings(said, levels),
        paving=surroundings.paving(said, levels),
        buildings=surroundings.buildings(said, levels),
        trees=surroundings.trees(said),
        service_lines=surroundings.service_lines(said, levels),
        services=_services(said),
        spoil=said.spoil,
        note=said.note or "",
        crew_people=crew,
        power_distance_m=power.distance.si if power and power.distance else None,
        residual_current_device=power.residual_current_device if power else None,
        barrier=_barrier(said),
        stake_offset_m=filling.value(said.stake_offset, f"stake.offset_{system}", "site/site.stake_offset"),
    )


def _services(site: SiteSaid) -> Services | None:
    said = site.services
    if said is None or isinstance(said, str):
        return Services(note=said) if said else None
    return Services(located=said.located, on=said.on, ticket=said.ticket, note=said.note or "")


def _barrier(site: SiteSaid) -> Barrier | None:
    said = site.barrier
    if said is None or isinstance(said, str):
        return Barrier(note=said) if said else None
    return Barrier(asked=said.asked, wanted=said.wanted, planned=said.planned, note=said.note or "")


def _access(said: AccessSaid, index: int, filling: Filling) -> Access:
    machine: Machine | None = None
    if isinstance(said.machine, MachineSaid):
        machine = Machine(
            name=said.machine.name,
            width_m=said.machine.width.si,
            reach_m=said.machine.reach.si,
            lift_kg=said.machine.lift.si,
            lift_radius_m=said.machine.lift_at.si,
            invented=False,
        )
    elif said.machine is not None and said.machine.lower() not in ("none", "by hand"):
        listed = {row.name: row for row in machines()}
        row = listed.get(said.machine)
        if row is None:
            filling.wrong(
                ("site", "access", index, "machine"),
                "is not a listed machine",
                found=said.machine,
                allowed=", ".join([*listed, "by hand"]) + ", or its name, width, reach, lift and lift_at",
            )
        else:
            machine = Machine(
                name=row.name,
                width_m=row.width_m,
                reach_m=row.reach_m,
                lift_kg=row.lift_kg,
                lift_radius_m=row.lift_radius_m,
                invented=True,
            )
    at = None if said.at is None else (said.at[0].si, said.at[1].si)
    return Access(id=said.id or f"a{index + 1}", width_m=said.width.si, at=at, machine=machine)


def liner(said: LinerSaid | None, filling: Filling) -> LinerSpec:
    """The liner and its underlay."""
    said = said or LinerSaid()
    path = "liners/liner"
    return LinerSpec(
        name=filling.word(said.name, "liner.name", f"{path}.name"),
        thickness_m=filling.value(said.thickness, "stack.liner", f"{path}.thickness"),
        mass_kgm2=filling.value(said.mass, "liner.mass", f"{path}.mass"),
        spare_m=filling.value(said.spare, "liner.spare", f"{path}.spare"),
        underlay_m=filling.value(said.underlay, "stack.underlay", f"{path}.underlay"),
        underlay_kgm2=filling.value(said.underlay_mass, "underlay.mass", f"{path}.underlay_mass"),
    )


def laps(said: list[LapSaid], *, levels: Levels, streams: tuple[Stream, ...], bodies: dict[str, Body]) -> list[Lap]:
    """Laps as said, and one behind the last fall of every stream that has none said there."""
    found = []
    by_fall = {fall.id: (stream, index) for stream in streams for index, fall in enumerate(stream.falls)}
    for index, row in enumerate(said):
        if row.at not in by_fall:
            near = get_close_matches(row.at, by_fall, n=3) or list(by_fall)
            levels.filling.wrong(
                ("laps", index, "at"), "is not a fall of this feature", found=row.at, allowed=", ".join(near)
            )
            continue
        stream, position = by_fall[row.at]
        id = row.id or f"l{index + 1}"
        found.append(_lap(row, id, stream, position, ("laps", index), levels=levels, bodies=bodies, streams=streams))
    lapped = {lap.at for lap in found}
    for stream in streams:
        last = stream.falls[-1]
        if f"falls/{last.id}" not in lapped:
            said_lap = LapSaid(at=last.id)
            position = len(stream.falls) - 1
            found.append(
                _lap(said_lap, f"{last.id}-lap", stream, position, (), levels=levels, bodies=bodies, streams=streams)
            )
    return found


def _lap(
    said: LapSaid,
    id: str,
    stream: Stream,
    position: int,
    location: Location,
    *,
    levels: Levels,
    bodies: dict[str, Body],
    streams: tuple[Stream, ...],
) -> Lap:
    filling, path = levels.filling, f"laps/{id}"
    last = position == len(stream.falls) - 1
    fall = stream.falls[position]
    on, below, lower = _below(stream, streams=streams) if last else (stream, _bed_after(stream, fall), "")
    water = bodies[stream.into].waterline if below is None else _crest_below(on, below)
    upturn = said.upturn and levels.resolve(said.upturn, Surface.LINER, (*location, "upturn"), origin=Origin.PLANNED)
    if not upturn:
        above = filling.number("lap.upturn_above_waterline", f"{path}.upturn")
        upturn = Level(water.m + above, Surface.LINER, Origin.DEFAULT, "above the water below", water.sigma_m)
    levels.put(f"{path}.upturn", upturn)
    return Lap(
        id=id,
        at=f"falls/{fall.id}",
        body=stream.into if below is None else None,
        reach=None if below is None else below.id,
        lower=lower or f"{stream.id}-below-{fall.id}",
        upper=f"{stream.id}-above-{fall.id}",
        upturn=upturn,
        run_m=filling.value(said.run, "liner.lap_run", f"{path}.run"),
        sealed=bool(said.sealed),
        on_top=said.on_top or "upper",
        cover=said.cover or "",
    )


def _bed_after(stream: Stream, fall: Fall) -> Reach:
    below = stream.links[stream.links.index(fall) + 1]
    assert isinstance(below, Reach)
    return below


def _below(stream: Stream, *, streams: tuple[Stream, ...]) -> tuple[Stream, Reach | None, str]:
    """What the last fall of a stream lands on: a bed of the stream that it joins, or None, its body; and the piece of
    liner there.
    """
    joins = stream.joins
    if joins is None:
        return stream, None, stream.into
    on = next(one for one in streams if one.id == joins.stream)
    return on, next(reach for reach in on.reaches if reach.id == joins.reach), f"{on.id}-at-{joins.reach}"


def _crest_below(stream: Stream, reach: Reach) -> Level:
    """The next crest down a stream from one of its beds."""
    below = stream.links[stream.links.index(reach) + 1]
    assert isinstance(below, Fall)
    return below.crest


def overrides(said: FeatureSaid, filling: Filling) -> list[LimitOverride]:
    """Limits set by the person, each with its reason."""
    found = []
    for index, row in enumerate(said.limits):
        place = ("limits", index)
        names = [entry.name for entry in limits()]
        if row.limit not in names:
            near = get_close_matches(row.limit, names, n=3) or names
            filling.wrong((*place, "limit"), "is not a known limit", found=row.limit, allowed=", ".join(near))
            continue
        try:
            value = parse(row.value, limit(row.limit).kind).si
        except InputError as error:
            problem = error.problems[0]
            filling.wrong((*place, "value"), problem.message, found=row.value, allowed=problem.allowed)
            continue
        found.append(LimitOverride(limit=row.limit, value=value, reason=row.reason))
    return found
