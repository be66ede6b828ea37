"""The work in a frame of its own, and its meshes back on the site."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from msgspec.structs import replace

from rillwright.feature import Body, Feature, Island, Reach, Stream
from rillwright.ground import Frame, Tin
from rillwright.shape.island_edge import island_lines
from rillwright.shape.natural import NaturalGround
from rillwright.shape.rims import pieces_of, rim_lines
from rillwright.shape.surface_result import Mesh, RimLine


def feature_in(feature: Feature, frame: Frame) -> Feature:
    """A feature whose bodies and streams lie in the frame; what stands beside them stays as it was."""
    bodies = tuple(_body(body, frame) for body in feature.bodies)
    streams = tuple(_stream(stream, frame) for stream in feature.streams)
    return replace(feature, bodies=bodies, streams=streams)


def rims_in(feature: Feature, natural: NaturalGround) -> tuple[RimLine, ...]:
    """The edges of the liner of a feature that lies in the frame, made there anew: they are to meet its outlines."""
    return (*rim_lines(pieces_of(feature), natural), *island_lines(feature, natural))


def tin_in(tin: Tin, frame: Frame) -> Tin:
    """A surface of levels in the frame; not rounded where that would turn a thin triangle over."""
    rounded = replace(tin, xyz=frame.levels(tin.xyz))
    a, b, c = (rounded.xyz[tin.triangles[:, k], :2] for k in range(3))
    doubled = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return rounded if (doubled > 0.0).all() else replace(tin, xyz=replace(frame, step_m=0.0).levels(tin.xyz))


def mesh_back(mesh: Mesh, frame: Frame) -> Mesh:
    """A mesh of the frame on the site."""
    xyz = np.column_stack((frame.back(mesh.xyz[:, :2]), mesh.xyz[:, 2]))
    xyz.flags.writeable = False
    return replace(mesh, xyz=xyz)


def _body(body: Body, frame: Frame) -> Body:
    rims = tuple(rim if rim.at is None else replace(rim, at=frame.line([rim.at])[0]) for rim in body.rims)
    return replace(
        body, outline=frame.line(body.outline), rims=rims, islands=_islands(body.islands, frame),
        axis=None if body.axis is None else frame.way(body.axis),
    )  # fmt: skip


def _stream(stream: Stream, frame: Frame) -> Stream:
    links = tuple(
        replace(link, islands=_islands(link.islands, frame)) if isinstance(link, Reach) else link
        for link in stream.links
    )
    return replace(stream, path=frame.line(stream.path), links=links)


def _islands(islands: Iterable[Island], frame: Frame) -> tuple[Island, ...]:
    return tuple(replace(island, outline=frame.line(island.outline)) for island in islands)
