"""Surfaces of triangles as one GLB file: binary glTF 2.0, as the Khronos Group publishes it (ISO/IEC 12113:2022)."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.errors import InputError, Problem
from rillwright.exchange.shading import Shaded, shaded
from rillwright.shape import Mesh

_MAGIC, _VERSION, _JSON, _BINARY = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
_FLOAT, _UNSIGNED = 5126, 5125  # kinds of number
_VERTICES, _INDICES = 34962, 34963  # what a stretch of the buffer is for
_LINES, _FACES = 1, 4  # how a stretch of rows is drawn
_OPAQUE = 1.0


class Painted(Struct, frozen=True, kw_only=True, eq=False):
    """A surface and the colour in which it is shown: #rrggbb, and how much of what lies behind it it hides [-]."""

    mesh: Mesh
    colour: str
    opacity: float = _OPAQUE


def write_glb(surfaces: Sequence[Painted], *, origin_m: tuple[float, float, float] | None = None) -> bytes:
    """The surfaces as a GLB file: a node each, bearing the surface's name; metres, y up, north away from the viewer.

    A node holds its triangles, and where the surface breaks the lines over which it does so.
    Each node says under `extras` which triangles belong to which part: (path, first triangle, how many). The scene says
    there where its origin lies on the site, as (east, north, level), and thus what to add to its places.

    Parameters
    ----------
    surfaces : Sequence[Painted]
        What is to be seen, each with its name. The same ones give the same bytes.
    origin_m : tuple[float, float, float] or None
        Place of the site that becomes the file's origin [m]; else whole metres below the least of all places.
        Places are kept in single precision: within 100 m of it they are good to 4 micrometres.

    Raises
    ------
    InputError
        If there is nothing to write, a surface has no triangle, or a place of it is no number.
    """
    _refuse(surfaces)
    if origin_m is None:
        least = np.min([each.mesh.xyz.min(axis=0) for each in surfaces], axis=0)
        origin_m = (float(np.floor(least[0])), float(np.floor(least[1])), float(np.floor(least[2])))
    body = bytearray()
    told: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "Rillwright"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(surfaces))), "extras": {"origin_m": list(origin_m)}}],
        "nodes": [],
        "meshes": [],
        "materials": [_material(each) for each in surfaces],
        "accessors": [],
        "bufferViews": [],
        "buffers": [],
    }
    for number, each in enumerate(surfaces):
        found = shaded(each.mesh, origin_m=origin_m)
        told["nodes"].append({"mesh": number, "name": each.mesh.name, "extras": {"parts": _parts(each.mesh, found)}})
        told["meshes"].append({"name": each.mesh.name, "primitives": _primitives(told, body, found, number)})
    told["buffers"] = [{"byteLength": len(body)}]
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")
    chunks = _chunk(_JSON, text, b" ") + _chunk(_BINARY, bytes(body), b"\0")
    return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


def _refuse(surfaces: Sequence[Painted]) -> None:
    wrong = [] if surfaces else [Problem(message="there is no surface to write")]
    for each in surfaces:
        mesh = each.mesh
        if mesh.triangles.size == 0:
            wrong.append(Problem(message="has no triangle", field=mesh.name))
        elif mesh.triangles.min() < 0 or mesh.triangles.max() >= len(mesh.xyz):
            wrong.append(Problem(message="a triangle names a place that is not there", field=mesh.name))
        elif not np.isfinite(mesh.xyz).all():
            wrong.append(Problem(message="holds a place that is no number", field=mesh.name))
    if wrong:
        raise InputError(wrong)


def _material(painted: Painted) -> dict[str, Any]:
    """As dull as earth; colours of a file are linear, those of a page are not (IEC 61966-2-1)."""
    page = [int(painted.colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in page]
    factors = [round(value, 6) for value in (*linear, painted.opacity)]
    told: dict[str, Any] = {
        "name": painted.mesh.name,
        "pbrMetallicRoughness": {"baseColorFactor": factors, "metallicFactor": 0, "roughnessFactor": 1},
        "doubleSided": True,
    }
    return told | ({"alphaMode": "BLEND"} if painted.opacity < _OPAQUE else {})


def _primitives(told: dict[str, Any], body: bytearray, found: Shaded, number: int) -> list[dict[str, Any]]:
    """The triangles, and the breaks as lines between the same places."""
    places = _accessor(told, body, found.places, "VEC3", _VERTICES)
    told["accessors"][places] |= {
        "min": [float(value) for value in found.places.min(axis=0)],
        "max": [float(value) for value in found.places.max(axis=0)],
    }
    normals = _accessor(told, body, found.normals, "VEC3", _VERTICES)
    rows = _accessor(told, body, found.triangles.reshape(-1), "SCALAR", _INDICES)
    shape = {"attributes": {"POSITION": places, "NORMAL": normals}, "indices": rows, "material": number, "mode": _FACES}
    if len(found.breaks) == 0:
        return [shape]
    ends = _accessor(told, body, found.breaks.reshape(-1), "SCALAR", _INDICES)
    return [shape, {"attributes": {"POSITION": places}, "indices": ends, "material": number, "mode": _LINES}]


def _accessor(told: dict[str, Any], body: bytearray, values: NDArray[Any], kind: str, target: int) -> int:
    """Values put at the end of the buffer; their number there. All are of four bytes, so each begins where it may."""
    content = values.tobytes()
    told["bufferViews"].append(
        {"buffer": 0, "byteOffset": len(body), "byteLength": len(content), "target": target},
    )
    body.extend(content)
    component = _FLOAT if values.dtype == np.dtype("<f4") else _UNSIGNED
    view = len(told["bufferViews"]) - 1
    told["accessors"].append({"bufferView": view, "componentType": component, "count": len(values), "type": kind})
    return len(told["accessors"]) - 1


def _parts(mesh: Mesh, found: Shaded) -> list[tuple[str, int, int]]:
    """Which triangles of the file belong to which part: they lie there part by part."""
    counts = np.bincount(mesh.part_of[found.order], minlength=len(mesh.parts))
    firsts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    rows = zip(mesh.parts, firsts.tolist(), counts.tolist(), strict=True)
    return [(path, first, count) for path, first, count in rows if count]


def _chunk(kind: int, content: bytes, fill: bytes) -> bytes:
    padded = content + fill * (-len(content) % 4)
    return struct.pack("<II", len(padded), kind) + padded
