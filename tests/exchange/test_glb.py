"""GLB files: read back by another library, and held against the sentences of glTF 2.0 that a file must keep."""

from __future__ import annotations

import io
import json
import math
import struct
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.exchange import Painted, write_glb
from rillwright.shape import Mesh

FAR = (451_203.37, 5_411_870.61, 212.4)  # a place in a national grid, invented
EARTH, WATER = "#a5814b", "#1b6b86"


def mesh(name: str, xyz: Any, triangles: Any, **known: Any) -> Mesh:
    rows = np.asarray(triangles, dtype=np.int64).reshape(-1, 3)
    usual: dict[str, Any] = {
        "parts": ("ponds/p",),
        "part_of": np.zeros(len(rows), dtype=np.int64),
        "upright": np.zeros(len(rows), dtype=np.bool_),
        "breaks": np.empty((0, 2), dtype=np.int64),
    }
    return Mesh(name=name, xyz=np.asarray(xyz, dtype=np.float64), triangles=rows, **usual | known)


def bowl(rings: int = 6, around: int = 24, at: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Mesh:
    """A paraboloid 4 m across and 1 m deep, as a fan and rings."""
    angles = np.arange(around) * 2 * math.pi / around
    xyz = [(0.0, 0.0, -1.0)]
    for ring in range(1, rings + 1):
        radius = 2.0 * ring / rings
        xyz += [(radius * math.cos(a), radius * math.sin(a), (radius / 2) ** 2 - 1) for a in angles]
    rows = [(0, 1 + i, 1 + (i + 1) % around) for i in range(around)]
    for ring in range(rings - 1):
        for i in range(around):
            a, b = 1 + ring * around + i, 1 + ring * around + (i + 1) % around
            rows += [(a, a + around, b), (b, a + around, b + around)]
    return mesh("dug", np.asarray(xyz) + at, rows)


def box() -> Mesh:
    """A closed box of 2 by 3 by 0.5 m, its four sides upright."""
    xyz = [(x, y, z) for z in (0.0, 0.5) for x, y in ((0, 0), (2, 0), (2, 3), (0, 3))]
    floor_and_top = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7)]
    sides = [row for i in range(4) for j in [(i + 1) % 4] for row in [(i, j, j + 4), (i, j + 4, i + 4)]]
    upright = np.array([False] * 4 + [True] * 8)
    return mesh("finished", xyz, floor_and_top + sides, upright=upright)


def taken_apart(content: bytes) -> tuple[dict[str, Any], bytes]:
    """The two chunks, by the layout of glTF 2.0, section 4.4."""
    magic, version, length = struct.unpack_from("<4sII", content)
    assert (magic, version, length) == (b"glTF", 2, len(content))
    text_length, kind = struct.unpack_from("<I4s", content, 12)
    assert kind == b"JSON"
    assert text_length % 4 == 0
    text = content[20 : 20 + text_length]
    body_length, kind = struct.unpack_from("<I4s", content, 20 + text_length)
    assert kind == b"BIN\0"
    assert body_length % 4 == 0
    assert 28 + text_length + body_length == len(content)
    return json.loads(text), content[28 + text_length :]


def read(content: bytes) -> trimesh.Scene:
    return trimesh.load_scene(io.BytesIO(content), file_type="glb", process=False)


def as_on_site(found: trimesh.Trimesh, origin: tuple[float, float, float]) -> np.ndarray[Any, Any]:
    """Corners of its triangles (t, 3, 3) as east, north, level."""
    xyz = found.vertices[found.faces]
    return np.stack([xyz[..., 0], -xyz[..., 2], xyz[..., 1]], axis=-1) + origin


@pytest.mark.parametrize("at", [(0.0, 0.0, 0.0), FAR])
def test_another_library_reads_the_same_triangles(at: tuple[float, float, float]) -> None:
    ours = bowl(at=at)
    content = write_glb([Painted(mesh=ours, colour=EARTH)])
    told, _ = taken_apart(content)
    (found,) = read(content).geometry.values()
    back = as_on_site(found, tuple(told["scenes"][0]["extras"]["origin_m"]))
    assert np.abs(back - ours.xyz[ours.triangles]).max() < 4e-7, "single precision within 4 m of its origin"
    assert found.area == pytest.approx(trimesh.Trimesh(ours.xyz - at, ours.triangles, process=False).area, rel=1e-6)


def test_volume_is_what_it_was_and_seen_from_outside() -> None:
    (found,) = read(write_glb([Painted(mesh=box(), colour=EARTH)])).geometry.values()
    found.merge_vertices(merge_norm=True)
    assert found.is_watertight
    assert found.volume == pytest.approx(2 * 3 * 0.5, rel=1e-6), "of a closed box, positive: its turn is kept"


def test_up_is_y_and_north_is_away() -> None:
    """glTF 2.0, section 3.4: right-handed, metres, +Y up; +Z forward is towards who looks."""
    ours = mesh("ground", [(0, 0, 0), (1, 0, 0), (0, 1, 0)], [(0, 1, 2)])
    (found,) = read(write_glb([Painted(mesh=ours, colour=EARTH)], origin_m=(0, 0, 0))).geometry.values()
    assert found.vertices.tolist() == [[0, 0, 0], [1, 0, 0], [0, 0, -1]]
    assert found.face_normals.tolist() == [[0, 1, 0]]


def test_a_bowl_is_smooth_and_faces_its_axis() -> None:
    """The normal of z = r²/4 - 1 is (-r/2, 0, 1) along its radius; what triangles make of it is near that."""
    ours = bowl(rings=12, around=48)
    (found,) = read(write_glb([Painted(mesh=ours, colour=EARTH)], origin_m=(0, 0, 0))).geometry.values()
    assert len(found.vertices) == len(ours.xyz), "one normal a place"
    x, z, y = found.vertices[:, 0], found.vertices[:, 1], -found.vertices[:, 2]
    assert z == pytest.approx((x**2 + y**2) / 4 - 1, abs=1e-6)
    exact = np.stack([-x / 2, np.ones_like(x), y / 2], axis=1)
    exact /= np.linalg.norm(exact, axis=1)[:, None]
    inside = np.hypot(x, y) < 1.9
    assert (found.vertex_normals * exact).sum(axis=1)[inside].min() > math.cos(math.radians(2))


def test_a_break_keeps_its_two_sides_apart() -> None:
    """A flat ridge, 5.7 degrees on either side: over a break each side has its own normal, else they share one."""
    xyz = [(0, 0, 0), (1, 0, 0.1), (1, 1, 0.1), (0, 1, 0), (2, 0, 0), (2, 1, 0)]
    rows = [(0, 1, 2), (0, 2, 3), (1, 4, 5), (1, 5, 2)]
    over = read(write_glb([Painted(mesh=mesh("liner", xyz, rows), colour=EARTH)])).geometry["liner"]
    broken = mesh("liner", xyz, rows, breaks=np.array([[2, 1]]))
    content = write_glb([Painted(mesh=broken, colour=EARTH)], origin_m=(0, 0, 0))
    apart = next(iter(read(content).geometry.values()))
    told, body = taken_apart(content)
    line = told["meshes"][0]["primitives"][1]
    ends = values(told, body, line["attributes"]["POSITION"])[values(told, body, line["indices"])]
    assert line["mode"] == 1
    assert np.abs(ends - [[1, 0.1, -1], [1, 0.1, 0]]).max() < 1e-7
    assert (len(over.vertices), len(apart.vertices)) == (6, 8)
    assert np.abs(np.abs(apart.vertex_normals[:, 0]) - 0.1 / math.sqrt(1.01)).max() < 1e-6
    top = over.vertex_normals[over.vertices[:, 1] > 0.05]
    assert np.abs(top - (0, 1, 0)).max() < 1e-6, "on top it faces up, however its sides were cut"


@pytest.mark.parametrize(("rise", "corners"), [(0.13, 6), (0.14, 8)])
def test_a_surface_that_turns_by_more_than_15_degrees_is_seen_to_break(rise: float, corners: int) -> None:
    """Twice the slope's angle: 14.8 degrees at a rise of 0.13 in 1, 15.9 at 0.14."""
    xyz = [(0, 0, 0), (1, 0, rise), (1, 1, rise), (0, 1, 0), (2, 0, 0), (2, 1, 0)]
    ridge = mesh("liner", xyz, [(0, 1, 2), (0, 2, 3), (1, 4, 5), (1, 5, 2)])
    (found,) = read(write_glb([Painted(mesh=ridge, colour=EARTH)])).geometry.values()
    assert len(found.vertices) == corners


def test_upright_faces_have_normals_of_their_own() -> None:
    (found,) = read(write_glb([Painted(mesh=box(), colour=EARTH)])).geometry.values()
    corners = found.vertex_normals[found.faces]
    assert np.abs(corners - found.face_normals[:, None, :]).max() < 1e-6


def test_surfaces_bear_names_colours_and_parts() -> None:
    pond = bowl()
    part_of = np.arange(len(pond.triangles)) % 2
    pond = mesh("dug", pond.xyz, pond.triangles, parts=("ponds/p", "reaches/b1", "ground"), part_of=part_of)
    content = write_glb(
        [Painted(mesh=pond, colour=EARTH), Painted(mesh=bowl(2, 8), colour=WATER, opacity=0.6)], origin_m=(1, 2, 3)
    )
    told, _ = taken_apart(content)
    assert [node["name"] for node in told["nodes"]] == ["dug", "dug"]
    half = len(pond.triangles) // 2
    assert told["nodes"][0]["extras"]["parts"] == [["ponds/p", 0, half], ["reaches/b1", half, half]]
    solid, water = told["materials"]
    assert "alphaMode" not in solid
    assert (water["alphaMode"], water["pbrMetallicRoughness"]["baseColorFactor"][3]) == ("BLEND", 0.6)
    # #a5814b by IEC 61966-2-1: ((165/255 + 0.055) / 1.055) ^ 2.4 = 0.3763, and so on
    assert solid["pbrMetallicRoughness"]["baseColorFactor"] == pytest.approx([0.3763, 0.2195, 0.0704, 1.0], abs=1e-4)
    found = next(iter(read(content).geometry.values()))
    back = as_on_site(found, (1, 2, 3))
    assert np.abs(back[:half] - pond.xyz[pond.triangles[::2]]).max() < 1e-6


def test_the_file_keeps_what_the_standard_asks() -> None:
    """glTF 2.0, sections 3.6.2.4, 3.7.2.1 and 5.1: views within the buffer, each beginning at a multiple of the size
    of its numbers; places with their least and greatest; rows below the count; normals of length one."""
    told, body = taken_apart(write_glb([Painted(mesh=bowl(at=FAR), colour=EARTH), Painted(mesh=box(), colour=WATER)]))
    assert told["asset"]["version"] == "2.0"
    assert told["buffers"] == [{"byteLength": len(body)}]
    for accessor in told["accessors"]:
        view = told["bufferViews"][accessor["bufferView"]]
        width = {"VEC3": 3, "SCALAR": 1}[accessor["type"]]
        assert view["byteOffset"] % 4 == 0
        assert view["byteLength"] == 4 * width * accessor["count"]
        assert view["byteOffset"] + view["byteLength"] <= len(body)
    for each in told["meshes"]:
        primitive, *lines = each["primitives"]
        assert [line["mode"] for line in lines] == [1] * len(lines)
        places, normals = (values(told, body, primitive["attributes"][name]) for name in ("POSITION", "NORMAL"))
        said = told["accessors"][primitive["attributes"]["POSITION"]]
        assert (said["min"], said["max"]) == (places.min(axis=0).tolist(), places.max(axis=0).tolist())
        assert np.abs(np.linalg.norm(normals, axis=1) - 1).max() < 1e-6
        assert values(told, body, primitive["indices"]).max() < len(places)


def values(told: dict[str, Any], body: bytes, number: int) -> np.ndarray[Any, Any]:
    accessor = told["accessors"][number]
    view = told["bufferViews"][accessor["bufferView"]]
    kind = {5126: "<f4", 5125: "<u4"}[accessor["componentType"]]
    found = np.frombuffer(body, kind, offset=view["byteOffset"], count=view["byteLength"] // 4)
    return found.reshape(-1, 3) if accessor["type"] == "VEC3" else found


def test_the_same_surfaces_give_the_same_bytes() -> None:
    one, other = ([Painted(mesh=bowl(at=FAR), colour=EARTH), Painted(mesh=box(), colour=WATER)] for _ in range(2))
    assert write_glb(one) == write_glb(other)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ([], "no surface to write"),
        ([mesh("liner", [(0, 0, 0)], [])], "liner: has no triangle"),
        ([mesh("liner", [(0, 0, 0), (1, 0, 0), (0, 1, 0)], [(0, 1, 3)])], "a triangle names a place that is not there"),
        ([mesh("liner", [(0, 0, 0), (1, 0, 0), (0, 1, math.nan)], [(0, 1, 2)])], "a place that is no number"),
    ],
)
def test_what_cannot_be_written_is_named(wrong: list[Mesh], said: str) -> None:
    with pytest.raises(InputError, match=said):
        write_glb([Painted(mesh=each, colour=EARTH) for each in wrong])


@given(st.lists(st.tuples(*[st.integers(-3, 3)] * 3), min_size=3, max_size=8), st.data())
def test_any_triangles_come_back(xyz: list[tuple[int, int, int]], data: st.DataObject) -> None:
    """Also crossing, flat and doubled ones, with any breaks and uprights: every corner where it was, every normal of
    length one."""
    place = st.integers(0, len(xyz) - 1)
    rows = data.draw(st.lists(st.tuples(place, place, place), min_size=1, max_size=12))
    upright = np.array(data.draw(st.lists(st.booleans(), min_size=len(rows), max_size=len(rows))))
    breaks = np.array(data.draw(st.lists(st.tuples(place, place), max_size=6)), dtype=np.int64).reshape(-1, 2)
    ours = mesh("ground", xyz, rows, upright=upright, breaks=breaks)
    told, body = taken_apart(write_glb([Painted(mesh=ours, colour=EARTH)], origin_m=(0, 0, 0)))
    primitive = told["meshes"][0]["primitives"][0]
    places, normals = (values(told, body, primitive["attributes"][name]) for name in ("POSITION", "NORMAL"))
    found = places[values(told, body, primitive["indices"])].reshape(-1, 3, 3)
    assert np.array_equal(np.stack([found[..., 0], -found[..., 2], found[..., 1]], axis=-1), ours.xyz[ours.triangles])
    assert np.abs(np.linalg.norm(normals, axis=1) - 1).max() < 1e-6
