"""complete(): a Document and the levels of its books become the Feature as decided."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import partial

from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature.as_built import with_built
from rillwright.feature.complete_bodies import body, waterline
from rillwright.feature.complete_climate import climate, filled, supply
from rillwright.feature.complete_joins import beds_of, order_of
from rillwright.feature.complete_pumps import listed_pumps
from rillwright.feature.complete_runs import Outlet, branching_run, outlets, run
from rillwright.feature.complete_site import laps, liner, overrides, site
from rillwright.feature.complete_streams import stream
from rillwright.feature.document import Document
from rillwright.feature.filling import Filling
from rillwright.feature.ids import SITE_PARTS, parts
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Body, Feature, Mark, Stream
from rillwright.feature.model_runs import Run
from rillwright.feature.references import Fixed
from rillwright.feature.resolve import KnownPoint, Levels
from rillwright.feature.schema import BedSaid, FeatureSaid, MarkSaid, PondSaid, course_id
from rillwright.feature.schema_runs import RunSaid
from rillwright.feature.yaml_text import Location

LEVELS_AGREE_M = 0.0005  # half a millimetre: what a book prints


def complete(document: Document, points: Mapping[str, KnownPoint] | None = None) -> Feature:
    """Everything decided: levels resolved, defaults filled in and listed, built levels in the place of planned ones.

    Raises
    ------
    InputError
        With every reference that leads nowhere, every double id, and every value that cannot be.
    """
    points = points or {}
    said = document.said
    filling = Filling(document)
    levels = Levels(filling, points)
    _check_ids(said, filling)
    datum = datum_of(said)
    ponds = _waterlines(said, levels)
    marks = _marks(said, levels, points, datum)
    _check_datum(said, points, filling)
    bodies = _bodies(ponds, levels)
    by_id = {body.id: body for body in bodies}
    streams = _streams(said, levels, by_id)
    if filling.problems:
        raise InputError(filling.problems)
    system = said.units or filling.word(None, "feature.units", "feature/feature.units")
    runs = _runs(said, levels, by_id, streams, metric=system == "metric")
    step_name = f"step.{system}"
    feature = Feature(
        name=said.name,
        system=system,
        step_m=filling.value(said.step, step_name, "feature/feature.step"),
        note=said.note,
        scenario=said.invented,
        revision=said.revision,
        marks=marks,
        datum=datum,
        bodies=bodies,
        streams=streams,
        runs=runs,
        laps=tuple(laps(said.laps, levels=levels, streams=streams, bodies=by_id)),
        liner=liner(said.liner, filling),
        site=site(said.site, levels=levels, system=system),
        overrides=tuple(overrides(said, filling)),
        defaults_used=(),
        climate=climate(said.climate, filling),
        supply=supply(said.supply),
        filled=filled(said.filled, levels=levels, bodies=by_id),
    )
    feature = with_built(feature, said, levels)
    if filling.problems:
        raise InputError(filling.problems)
    return replace(feature, defaults_used=tuple(filling.used))


def datum_of(said: FeatureSaid) -> str:
    """Id of the mark to which levels are tied: as said, else the first benchmark, else the first mark, else ''."""
    if said.datum is not None:
        return said.datum
    for mark in said.marks:
        if mark.role == "benchmark":
            return mark.id
    return said.marks[0].id if said.marks else ""


def _check_datum(said: FeatureSaid, points: Mapping[str, KnownPoint], filling: Filling) -> None:
    """Levels are tied to a mark that there is, in the file or in its books."""
    known = list(dict.fromkeys((*(mark.id for mark in said.marks), *points)))
    if said.datum is not None and said.datum not in known:
        allowed = ", ".join(known) or "no mark is named: list one under marks"
        filling.wrong(("datum",), "is no mark of the file or of its books", found=said.datum, allowed=allowed)


def datum_level(said: FeatureSaid) -> float:
    """Level [m] that the file gives to its datum as a plain height, else nought."""
    datum = datum_of(said)
    for mark in said.marks:
        if mark.id == datum and isinstance(mark.level, Fixed):
            return mark.level.typed.si
    return 0.0


def _marks(said: FeatureSaid, levels: Levels, points: Mapping[str, KnownPoint], datum: str) -> tuple[Mark, ...]:
    for index, row in enumerate(said.marks):
        if row.id not in points:
            levels.define(row.id, partial(_mark_level, row, index, levels, datum))
    marks = []
    for index, row in enumerate(said.marks):
        level = levels.named(row.id, ("marks", index))
        if level is None:
            continue
        if isinstance(row.level, Fixed) and abs(row.level.typed.si - level.m) > LEVELS_AGREE_M:
            levels.filling.wrong(
                ("marks", index, "level"),
                "the books give this mark another level",
                found=row.level.typed.text,
                allowed=f"{level.m:.3f} m as in the books, or no level here",
            )
        at = (row.at[0].si, row.at[1].si) if row.at else points[row.id].at if row.id in points else None
        marks.append(Mark(id=row.id, role=row.role, level=level, at=at))
    listed = {row.id for row in said.marks}
    for id, point in points.items():
        if id not in listed:
            role = "benchmark" if id == datum else "point"
            marks.append(Mark(id=id, role=role, level=point.level, at=point.at))
    return tuple(marks)


def _mark_level(row: MarkSaid, index: int, levels: Levels, datum: str) -> Level | None:
    surface = Surface(row.surface or ("ground" if row.role == "point" else "mark"))
    if row.level is not None:
        return levels.resolve(row.level, surface, ("marks", index, "level"), origin=Origin.MEASURED)
    if row.id == datum:
        zero = levels.filling.number("level.benchmark", f"marks/{row.id}.level")
        return Level(zero, surface, Origin.DEFAULT, "the datum")
    levels.filling.wrong(
        ("marks", index), "has no level", found=row.id, allowed="a 'level' here, or a reading of it in a book"
    )
    return None


def _waterlines(said: FeatureSaid, levels: Levels) -> list[tuple[Location, PondSaid, str]]:
    """The ponds with their ids; from here on anything may refer to their waterlines."""
    paving = next((mark.id for mark in said.marks if mark.role == "paving"), None)
    rows = []
    for index, (location, row) in enumerate(parts(said, "pond", "ponds")):
        id = row.id or _name("pond", index)
        work_out = partial(waterline, row, id, location, levels=levels, paving=paving)
        levels.define(f"ponds/{id}.waterline", work_out)
        rows.append((location, row, id))
    return rows


def _bodies(rows: list[tuple[Location, PondSaid, str]], levels: Levels) -> tuple[Body, ...]:
    found = []
    for location, row, id in rows:
        water = levels.named(f"ponds/{id}.waterline", (*location, "waterline"))
        made = body(row, id, location, levels=levels, water=water) if water is not None else None
        if made is not None:
            found.append(made)
    return tuple(found)


def _streams(said: FeatureSaid, levels: Levels, bodies: dict[str, Body]) -> tuple[Stream, ...]:
    """The streams in the order of the file, each worked out after the one whose bed it runs into."""
    if not bodies:
        return ()  # what is wrong with the ponds has been said
    rows = parts(said, "stream", "streams")
    beds, made = beds_of(rows), dict[int, Stream]()
    turns: Counter[str] = Counter()
    for n in order_of(rows, bodies, levels.filling):
        location, row = rows[n]
        end = row.into or next(iter(bodies))
        joined = None
        if end not in bodies:
            if beds[end] not in made:
                continue  # what is wrong with that one has been said
            other = made[beds[end]]
            joined = other, next(reach for reach in other.reaches if reach.id == end)
        into = bodies[end if joined is None else joined[0].into]
        id = row.id or _name("stream", n)
        found = stream(row, id, location, levels=levels, into=into, turn=turns[end], joined=joined)
        if found is not None:
            made[n] = found
            turns[end] += 1
    return tuple(made[n] for n in sorted(made))


def _runs(
    said: FeatureSaid, levels: Levels, bodies: dict[str, Body], streams: tuple[Stream, ...], *, metric: bool
) -> tuple[Run, ...]:
    """Runs as said; where none is, one from its body to the head of every stream."""
    rows = parts(said, "run", "runs")
    if not rows:
        rows = [((), RunSaid(source=s.into, to=s.id)) for s in streams]
    ends = outlets(streams)
    candidates = listed_pumps(said.pump_list, levels=levels)
    found = []
    asked = Counter(row.to for _, row in rows if row.wanted is None)
    for index, (location, row) in enumerate(rows):
        to = row.to or (streams[0].id if len(streams) == 1 else None)
        if row.outlets is None and to not in ends:
            near = ", ".join(ends) or "there is no stream to pump to"
            levels.filling.wrong((*location, "to"), "must name a stream or a bed", found=str(to), allowed=near)
            continue
        source = row.source or _drawn_from(row, to, ends, bodies)
        if source not in bodies:
            levels.filling.wrong((*location, "from"), "is not a pond here", found=source, allowed=", ".join(bodies))
            continue
        id = row.id or _name("run", index)
        if row.outlets is not None:
            made = branching_run(
                row,
                id,
                location,
                levels=levels,
                source=bodies[source],
                outlets={**ends, **bodies},
                metric=metric,
                candidates=candidates,
            )
        else:
            made = run(
                row,
                id,
                location,
                levels=levels,
                source=bodies[source],
                outlet=ends[str(to)],
                shared_by=max(asked[row.to], 1),
                metric=metric,
                candidates=candidates,
            )
        if made is not None:
            found.append(made)
    return tuple(found)


def _drawn_from(row: RunSaid, to: str | None, ends: Mapping[str, Outlet], bodies: Mapping[str, Body]) -> str:
    """The body that a run draws from where it does not say: the one that its stream runs into, or the only one."""
    if row.outlets is None:
        return ends[str(to)].stream.into
    named = [ends[each.to].stream.into for each in row.outlets if each.to in ends]
    return named[0] if named else next(iter(bodies), "")


def _name(stem: str, index: int) -> str:
    return stem if index == 0 else f"{stem}{index + 1}"


def _check_ids(said: FeatureSaid, filling: Filling) -> None:
    """No id twice among elements of one collection, nor among the nodes of the water's graph."""
    ponds, streams = parts(said, "pond", "ponds"), parts(said, "stream", "streams")
    nodes: list[tuple[Location, str | None]] = [(location, row.id) for location, row in (*ponds, *streams)]
    for location, row in streams:
        nodes += [((*location, "course", index), course_id(link)) for index, link in enumerate(row.course)]
    beds = [((*at, "course", i), row) for at, each in streams for i, row in enumerate(each.course)]
    lined = [*ponds, *((at, row) for at, row in beds if isinstance(row, BedSaid))]
    rims = [((*location, "rims", i), rim.id) for location, pond in ponds for i, rim in enumerate(pond.rims)]
    groups: list[list[tuple[Location, str | None]]] = [
        nodes,
        [(("marks", index), mark.id) for index, mark in enumerate(said.marks)],
        [(location, row.id) for location, row in parts(said, "run", "runs")],
        rims,
        [((*at, "penetrations", i), each.id) for at, part in lined for i, each in enumerate(part.penetrations)],
        [((*at, "islands", i), each.id) for at, part in lined for i, each in enumerate(part.islands)],
        [(("laps", index), lap.id) for index, lap in enumerate(said.laps)],
    ]
    if said.site is not None:
        for key, _, _ in SITE_PARTS:
            groups.append([(("site", key, i), row.id) for i, row in enumerate(getattr(said.site, key))])
    for group in groups:
        seen: set[str] = set()
        for location, id in group:
            if id is not None and id in seen:
                filling.wrong(location, "this id is used twice", found=id, allowed="an id once")
            if id is not None:
                seen.add(id)
