"""Hold points: what is shot, taped, looked at and photographed before something is cut, covered, filled or left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rillwright.build.result import HoldPoint, HoldShot, HoldTape, HoldWhen, Stake
from rillwright.build.to_go import tolerance_m
from rillwright.feature import Body, BodyKind, Fall, Feature, Level, Stream, Surface
from rillwright.liner import Liner, Sheet
from rillwright.sources import limit
from rillwright.stone import SpillStone, Stone


def holds_of(feature: Feature, stakes: Iterable[Stake], *, liner: Liner, stone: Stone) -> tuple[HoldPoint, ...]:
    """The hold points of a feature in the order in which work comes to them, the day's benchmarks first and last.

    Bodies before streams, and streams from the foot up, what is joined before what joins it: the lower piece of a lap
    lies under the upper one.
    """
    staked = tuple(stakes)
    return (
        *_benchmark(feature, HoldWhen.START),
        _services(),
        *_digs(feature, staked),
        *(_cut(sheet) for sheet in liner.pieces),
        *_liners(feature, staked),
        *_laps(feature),
        *_pipes(feature),
        *_benchmark(feature, HoldWhen.NOON),
        *_spill_stones(feature, stone),
        *_fills(feature, staked),
        *_benchmark(feature, HoldWhen.END),
    )


def _shot(feature: Feature, path: str, text: str, *, surface: Surface, wanted_m: float) -> HoldShot:
    tolerance = tolerance_m(feature, surface, path)
    return HoldShot(path=path, surface=surface, text=text, wanted_m=wanted_m, tolerance_m=tolerance)


def _benchmark_named(mark: str) -> str:
    """A benchmark that is called no more than that is not named twice."""
    return "the benchmark" if mark == "benchmark" else f"the benchmark {mark}"


def _benchmark(feature: Feature, when: HoldWhen) -> Iterator[HoldPoint]:
    for mark in feature.marks:
        if mark.id == feature.datum:
            path = f"marks/{mark.id}"
            again = "Set up and shoot" if when is HoldWhen.START else "Shoot"
            yield HoldPoint(
                id=f"benchmark.{when.name.lower()}",
                when=when,
                at=path,
                text=f"{again} {_benchmark_named(mark.id)}" + ("" if when is HoldWhen.START else " again"),
                shoot=(
                    HoldShot(
                        path=path,
                        surface=mark.level.surface,
                        text=f"{mark.id}, as it is known",
                        wanted_m=mark.level.m,
                        tolerance_m=limit("survey.benchmark").good,
                    ),
                ),
                look=("if it does not agree, all shots since the last time are unconfirmed: find out why",),
            )


def _services() -> HoldPoint:
    return HoldPoint(
        id="services",
        when=HoldWhen.DIG,
        at="site/whole",
        text="Buried services are located and marked, and the ticket is in date",
        look=(
            "no machine in the ground before; by hand near the marks, as the local rules ask",
            "nobody in or beside a cut that the soil does not hold; local codes and licensed practice come first",
        ),
        photograph=("the marks on the ground, with a fixed point in the picture",),
    )


def _digs(feature: Feature, stakes: tuple[Stake, ...]) -> Iterator[HoldPoint]:
    for body in feature.bodies:
        tapes = (
            HoldTape(text="length of the hole at the waterline", wanted_m=body.length_m),
            HoldTape(text="width of the hole at the waterline", wanted_m=body.width_m),
        )
        mine = [stake for stake in stakes if stake.path == f"ponds/{body.id}"]
        yield _dig(feature, f"ponds/{body.id}", f"the hole of {_called(body)}", mine, tape=tapes)
    for stream in feature.downstream_first:
        paths = {f"reaches/{reach.id}" for reach in stream.reaches}  # under a crest the bed above it ends
        mine = [stake for stake in reversed(stakes) if stake.path in paths]
        yield _dig(feature, f"streams/{stream.id}", f"the dig of {_stream(stream)}", mine, tape=_widths(stream))


def _widths(stream: Stream) -> tuple[HoldTape, ...]:
    """Beds of one width together, from the foot up."""
    groups: dict[float, list[str]] = {}
    for reach in reversed(stream.reaches):
        groups.setdefault(round(reach.width_m, 3), []).append(reach.id)
    beds = [HoldTape(text=f"width of the bed: {', '.join(ids)}", wanted_m=wide) for wide, ids in groups.items()]
    pools = [
        HoldTape(text=f"length of the plunge pool below {fall.id}, from the crest", wanted_m=fall.plunge.length_m)
        for fall in reversed(stream.falls)
        if fall.plunge is not None
    ]
    return (*beds, *pools)


def _dig(feature: Feature, at: str, what: str, stakes: list[Stake], *, tape: tuple[HoldTape, ...]) -> HoldPoint:
    return HoldPoint(
        id=f"dig.{at.partition('/')[2]}",
        when=HoldWhen.COVER,
        at=at,
        text=f"Before underlay goes into {what}",
        shoot=tuple(
            _shot(feature, stake.shot_at, stake.text, surface=Surface.DIG, wanted_m=stake.dig_m)
            for stake in stakes
            if stake.dig_m is not None
        ),
        tape=tape,
        look=("no roots, no sharp stone, no hollow that liner would bridge; soil trodden firm where stone will bear",),
        photograph=("the whole dig, with the rod standing in it",),
        initials=("lead", "operator"),
    )


def _cut(sheet: Sheet) -> HoldPoint:
    ways = ("along", "across") if sheet.path.startswith("ponds/") else ("along the stream, down every drop", "across")
    sizes = (sheet.length_m, sheet.width_m)
    return HoldPoint(
        id=f"cut.{sheet.id}",
        when=HoldWhen.CUT,
        at=sheet.path,
        text=f"Piece {sheet.id}: tape it in the hole, both ways, lying on the surface",
        tape=tuple(
            HoldTape(text=f"{way}, rim to rim over the surface, with the spare at both ends", wanted_m=size)
            for way, size in zip(ways, sizes, strict=True)
        ),
        look=("what was taped is no more than the piece that was ordered, both ways; if it is more, do not cut",),
    )


def _liners(feature: Feature, stakes: tuple[Stake, ...]) -> Iterator[HoldPoint]:
    elements = [(f"ponds/{body.id}", _called(body), {f"ponds/{body.id}"}) for body in feature.bodies]
    for stream in feature.downstream_first:
        paths = {f"reaches/{reach.id}" for reach in stream.reaches}
        elements.append((f"streams/{stream.id}", _stream(stream), paths))
    for at, what, paths in elements:
        mine = [stake for stake in stakes if stake.path in paths and stake.liner_m is not None]
        yield HoldPoint(
            id=f"liner.{at.partition('/')[2]}",
            when=HoldWhen.COVER,
            at=at,
            text=f"Before stone and gravel go on the liner of {what}",
            shoot=tuple(
                _shot(feature, stake.shot_at, stake.text, surface=Surface.LINER, wanted_m=stake.liner_m)
                for stake in mine
                if stake.liner_m is not None
            ),
            look=(
                "liner lies on the ground everywhere, with folds laid flat; no cut, no hole",
                "thick felt or a spare piece of liner lies under every stone that bears",
            ),
            photograph=("the liner before stone, all of it, and every fold",),
        )


def _laps(feature: Feature) -> Iterator[HoldPoint]:
    streams = sorted(feature.streams, key=feature.joints_below, reverse=True)  # what is joined before what joins it
    order = {f"falls/{fall.id}": at for at, fall in enumerate(fall for stream in streams for fall in stream.falls)}
    for lap in sorted(feature.laps, key=lambda one: -order.get(one.at, -1)):
        path = f"laps/{lap.id}.upturn"
        yield HoldPoint(
            id=f"lap.{lap.id}",
            when=HoldWhen.COVER,
            at=f"laps/{lap.id}",
            text=f"Before the lap at {lap.at.partition('/')[2]} is covered: {lap.upper} over {lap.lower}",
            shoot=(
                _shot(feature, path, "top of the upturn, at its lowest", surface=Surface.LINER, wanted_m=lap.upturn.m),
            ),
            tape=(HoldTape(text="how far the two pieces lie over each other", wanted_m=lap.run_m),),
            look=(
                "the upper piece lies over the lower one; the upturn is held up along its whole width",
                *(("sealed by its maker's method",) if lap.sealed else ()),
            ),
            photograph=("the upturn with the rod beside it, then the lap with the upper piece down",),
        )


def _pipes(feature: Feature) -> Iterator[HoldPoint]:
    for run in feature.runs:
        yield HoldPoint(
            id=f"pipe.{run.id}",
            when=HoldWhen.COVER,
            at=f"runs/{run.id}",
            text=f"Before the pipe of {run.id} is covered",
            tape=(
                HoldTape(text="length of the pipe as laid", wanted_m=run.pipe_length_m),
                HoldTape(text="two ties from fixed points to every bend and valve", wanted_m=None),
            ),
            look=(
                "run it under water pressure and look at every joint",
                "its lowest point drains; electrical work is a licensed electrician's",
            ),
            photograph=("the open trench along its whole length, with a tape in the picture",),
        )


def _spill_stones(feature: Feature, stone: Stone) -> Iterator[HoldPoint]:
    stones = {one.fall: one for one in stone.spill_stones}
    for stream in feature.streams:
        for fall in reversed(stream.falls):
            yield _spill_stone(feature, fall, stones.get(fall.id))


def _spill_stone(feature: Feature, fall: Fall, stone: SpillStone | None) -> HoldPoint:
    path = f"falls/{fall.id}.crest"
    tape = [HoldTape(text="width of the crest, between the stones that hold the water in", wanted_m=fall.crest_width_m)]
    if stone is not None:
        tape.append(HoldTape(text="thickness of the stone at its lip", wanted_m=fall.stone_m))
    return HoldPoint(
        id=f"spill.{fall.id}",
        when=HoldWhen.COVER,
        at=f"falls/{fall.id}",
        text=f"Before the spill stone of {fall.id} is built in",
        shoot=tuple(
            _shot(
                feature,
                f"{path}@{end}",
                f"crest, {end} end, looking downstream",
                surface=Surface.STONE_TOP,
                wanted_m=fall.crest.m,
            )
            for end in ("left", "right")
        ),
        tape=tuple(tape),
        look=(
            "it does not rock; felt lies under it; nobody between a hanging stone and the hole",
            "sealed under and at both sides, so that water goes over it and not under"
            if fall.sealed
            else "no seal was planned: part of the water will go under it",
        ),
        photograph=("the seal before it is hidden",),
        initials=("lead", "mason"),
    )


def _fills(feature: Feature, stakes: tuple[Stake, ...]) -> Iterator[HoldPoint]:
    for body in feature.bodies:
        path = f"ponds/{body.id}"
        rims = {f"rims/{rim.id}" for rim in body.rims}
        tops = tuple(
            _shot(feature, stake.shot_at, stake.text, surface=Surface.LINER, wanted_m=stake.liner_m)
            for stake in stakes
            if stake.path in rims and stake.liner_m is not None
        )
        yield HoldPoint(
            id=f"fill.{body.id}",
            when=HoldWhen.FILL,
            at=path,
            text=f"Before {_called(body)} is filled: every rim{'' if body.overflow is None else ', and the overflow'}",
            shoot=(*tops, *_sill(feature, body)),
            tape=(HoldTape(text="water meter before and after the filling", wanted_m=None),),
            look=(
                "any depth can drown a child: the barrier that the local code asks for stands before the water does",
            ),
            photograph=("every rim with the rod on it",),
        )
        yield _run(feature, body.waterline, path, what=_called(body), tops=tops)


def _sill(feature: Feature, body: Body) -> Iterator[HoldShot]:
    if body.overflow is not None:
        path, wanted = f"ponds/{body.id}.overflow", body.overflow.level.m
        yield _shot(feature, path, "sill of the overflow", surface=Surface.LINER, wanted_m=wanted)


def _run(feature: Feature, waterline: Level, path: str, *, what: str, tops: tuple[HoldShot, ...]) -> HoldPoint:
    water = _shot(feature, f"{path}.waterline", "the water as it is held", surface=Surface.WATER, wanted_m=waterline.m)
    return HoldPoint(
        id=f"run.{path.partition('/')[2]}",
        when=HoldWhen.RUN,
        at=path,
        text=f"Run and stop it before {what} is left to itself; shoot the rims again, stone and water settle them",
        shoot=(water, *tops),
        tape=(
            HoldTape(text="how far the water falls at start", wanted_m=None),
            HoldTape(text="how far below the lowest rim it stands after a stop", wanted_m=None),
        ),
        look=(
            "water goes over every crest from end to end, and lands on liner",
            "no bank is wet behind the liner; the pump's circuit is protected as the code asks",
        ),
        photograph=("every fall running", "the pond after the stop"),
    )


def _called(body: Body) -> str:
    noun = "reservoir" if body.kind is BodyKind.RESERVOIR else "pond"
    return f"the {noun}" if body.id == noun else f"the {noun} {body.id}"


def _stream(stream: Stream) -> str:
    return "the stream" if stream.id == "stream" else f"stream {stream.id}"
