"""Stone by mass: edges, fall faces, gravel, and what fills a buried reservoir."""

from __future__ import annotations

from rillwright.feature import Body, BodyKind, Fall, Reach, Stream
from rillwright.shape import PondShape, drawn
from rillwright.sources import default
from rillwright.stone.mass import heap_mass_kg
from rillwright.stone.result import StoneLot
from rillwright.stone.spill import ends_of
from rillwright.units import Term


def edge(id: str, path: str, length_m: float) -> StoneLot:
    """One course along an edge of `length_m` [m]."""
    low, high = default("stone.edge_low").number, default("stone.edge_high").number
    size = default("stone.edge_size").number
    return StoneLot(
        id=id,
        kind="edge",
        path=path,
        mass_low_kg=low * length_m,
        mass_high_kg=high * length_m,
        volume_m3=size * size * length_m,
        because=(
            Term(name="length of the edge", value=length_m, unit="m"),
            Term(name="stone by length, low", value=low, unit="kg/m"),
            Term(name="stone by length, high", value=high, unit="kg/m"),
        ),
    )


def face(fall: Fall, width_m: float) -> StoneLot:
    """Stone in front of a fall's face, as wide as the bed above it, `width_m` [m], or as the crest if that is wider.

    It stands on the floor of the plunge pool where there is one.
    """
    pool = 0.0 if fall.plunge is None else fall.plunge.depth_m
    wide, high = max(width_m, fall.crest_width_m), max(fall.drop_m, 0.0) + pool
    thick, voids = default("stone.face_thickness").number, default("stone.face_voids").number
    density = ends_of("stone.density")
    placed = wide * high * thick
    return StoneLot(
        id=f"face-{fall.id}",
        kind="face",
        path=f"falls/{fall.id}",
        mass_low_kg=heap_mass_kg(placed, voids=voids, density_kgm3=density[0]),
        mass_high_kg=heap_mass_kg(placed, voids=voids, density_kgm3=density[1]),
        volume_m3=placed,
        because=(
            Term(name="width of the face", value=wide, unit="m"),
            Term(name="height of the face", value=high, unit="m"),
            Term(name="thickness of the face", value=thick, unit="m"),
            Term(name="solid share", value=1.0 - voids, unit="-"),
            Term(name="density of stone, low", value=density[0], unit="kg/m3"),
            Term(name="density of stone, high", value=density[1], unit="kg/m3"),
        ),
    )


def gravel(id: str, path: str, area_m2: float, *, thick_m: float) -> StoneLot:
    """Gravel over an area [m2], `thick_m` [m] thick."""
    return _bulk(
        id,
        "gravel",
        path,
        area_m2 * thick_m,
        (Term(name="area", value=area_m2, unit="m2"), Term(name="thickness", value=thick_m, unit="m")),
    )


def reach_gravel(reach: Reach) -> StoneLot:
    """Gravel on the bed of a reach, bank to bank: of the mean width of its layer."""
    wide = 0.5 * (reach.width_m + reach.floor_width_m)
    return gravel(f"gravel-{reach.id}", f"reaches/{reach.id}", wide * reach.length_m, thick_m=reach.gravel_m)


def body_lots(body: Body, pond: PondShape) -> list[StoneLot]:
    """What a body takes: its edge, gravel on its floor, and what fills a reservoir."""
    path = f"ponds/{body.id}"
    lots: list[StoneLot] = []
    if body.kind is BodyKind.POND:
        lots.append(edge(f"edge-{body.id}", path, pond.perimeter_m))
    else:
        lots.append(_fill(body, pond, path))
    if body.gravel_m > 0.0:
        lots.append(gravel(f"gravel-{body.id}", path, drawn(pond).storage[0][1], thick_m=body.gravel_m))
    return lots


def stream_lots(stream: Stream, *, mouths_m: float = 0.0) -> list[StoneLot]:
    """What a stream takes: edges on both sides but for `mouths_m` [m] where others run into it, faces, gravel."""
    lots = [edge(f"edge-{stream.id}", f"streams/{stream.id}", max(2.0 * stream.length_m - mouths_m, 0.0))]
    width = stream.width_m
    for link in stream.links:
        if isinstance(link, Reach):
            width = link.width_m
            lots.append(reach_gravel(link))
        else:
            lots.append(face(link, width))
    return [lot for lot in lots if lot.volume_m3 > 0.0]


def _fill(body: Body, pond: PondShape, path: str) -> StoneLot:
    """Void blocks, by volume, or the stone that fills the hole to the waterline."""
    terms = (Term(name="hole to the waterline", value=pond.gross_m3, unit="m3", kind="earth"),)
    if body.water_share < default("stone.blocks_from").number:
        return _bulk(f"fill-{body.id}", "reservoir stone", path, pond.gross_m3, terms)
    return StoneLot(
        id=f"fill-{body.id}",
        kind="blocks",
        path=path,
        mass_low_kg=0.0,
        mass_high_kg=0.0,
        volume_m3=pond.gross_m3,
        because=terms,
    )


def _bulk(id: str, kind: str, path: str, volume_m3: float, terms: tuple[Term, ...]) -> StoneLot:
    density = default("gravel.density").number
    return StoneLot(
        id=id,
        kind=kind,
        path=path,
        mass_low_kg=volume_m3 * density,
        mass_high_kg=volume_m3 * density,
        volume_m3=volume_m3,
        because=(*terms, Term(name="gravel's mass by volume", value=density, unit="kg/m3")),
    )
