"""DXF in: points and polylines with levels. Contours out."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import shown
from rillwright.exchange.site_units import agreed, named, size_m
from rillwright.ground import Contour, GroundData, GroundLine, LineRole

if TYPE_CHECKING:
    from ezdxf.document import Drawing

MOST_ENTITIES = 500_000
ARC_M = 0.001  # how far the straight pieces of an arc may leave it
_UNITS = {1: "in", 2: "ft", 3: "mile", 4: "mm", 5: "cm", 6: "m", 7: "km", 10: "yd", 21: "us ft"}
_ROLES = {"boundary": LineRole.BOUNDARY, "hole": LineRole.HOLE}


def read_dxf(content: bytes, *, file: str, layers: Sequence[str] = (), unit: str | None = None) -> GroundData:
    """Points, lines and polylines of a DXF drawing's model space as levels of ground.

    A polyline that lies in one plane has that plane's level; at level 0 it has none, and is passed over like everything
    else that is no level. A line on a layer called boundary or hole bounds the ground.

    Parameters
    ----------
    content : bytes
        The file as it is.
    file : str
        Its name, for messages.
    layers : sequence of str
        Layers to read; none: all of them.
    unit : str or None
        Unit of a drawing that names none: m, ft, us ft, in, mm.

    Returns
    -------
    GroundData
        Levels [m]; remarks say what was passed over.

    Raises
    ------
    InputError
        If it is no DXF, names no unit, or holds no level.

    References
    ----------
    DXF header variable $INSUNITS: the vendor's published reference, from memory.
    """
    drawing = _opened(content, file)
    scale, remarks = _unit(drawing, unit, file)
    wanted = {name.casefold() for name in layers}
    points: list[tuple[float, float, float]] = []
    lines: list[GroundLine] = []
    passed: Counter[str] = Counter()
    for number, entity in enumerate(drawing.modelspace()):
        if number >= MOST_ENTITIES:
            raise InputError(
                Problem(message="holds too much", file=file, allowed=f"at most {MOST_ENTITIES:,} entities")
            )
        layer = str(entity.dxf.layer)
        if wanted and layer.casefold() not in wanted:
            passed["on other layers"] += 1
        elif entity.dxftype() == "POINT":
            points.append(tuple(entity.dxf.location))
        else:
            _take_line(entity, layer, scale, lines, passed)
    if not points and not lines:
        allowed = "points, lines and polylines with levels"
        told = ", ".join(f"{count} {what}" for what, count in passed.items())
        raise InputError(Problem(message="holds no level", file=file, found=told, allowed=allowed))
    remarks += tuple(f"passed over in {file}: {count} {what}" for what, count in sorted(passed.items()))
    xyz = np.array(points, dtype=np.float64).reshape(-1, 3) * scale
    return GroundData(name=file, xyz=xyz, lines=tuple(lines), unit=named(scale), remarks=remarks)


def write_contours_dxf(contours: Iterable[Contour], *, shots: Any = ()) -> str:
    """Text of a DXF drawing (R2010, metres): contours as polylines at their levels, shots (n, 3) [m] as points.

    The same bytes for the same contours.
    """
    from ezdxf._options import options
    from ezdxf.filemanagement import new

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        drawing = new("R2010", units=6)
        for name in ("contours", "shots"):
            drawing.layers.add(name)
        space = drawing.modelspace()
        for each in contours:
            attribs = {"layer": "contours", "elevation": each.level_m}
            space.add_lwpolyline(each.xy.tolist(), close=each.closed, dxfattribs=attribs)
        for place in np.asarray(shots, dtype=np.float64).reshape(-1, 3).tolist():
            space.add_point(place, dxfattribs={"layer": "shots"})
        text = io.StringIO()
        drawing.write(text)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return text.getvalue()


def _opened(content: bytes, file: str) -> Drawing:
    import tempfile
    from pathlib import Path

    from ezdxf.filemanagement import readfile

    with tempfile.TemporaryDirectory() as folder:  # the reader finds out encoding and kind from a file alone
        path = Path(folder) / "drawing.dxf"
        path.write_bytes(content)
        try:
            return readfile(path)
        except Exception as error:  # what a foreign reader stumbles over is the file's fault
            reason = str(error).replace(str(path), file)[:120]
            raise InputError(Problem(message=f"is no DXF drawing that can be read: {reason}", file=file)) from error


def _unit(drawing: Drawing, said: str | None, file: str) -> tuple[float, tuple[str, ...]]:
    code = int(drawing.header.get("$INSUNITS", 0) or 0)
    if code in _UNITS:
        return agreed(_UNITS[code], said, file=file)
    if code:
        allowed = ", ".join(_UNITS.values())
        raise InputError(Problem(message="is in a unit that is not known", file=file, found=str(code), allowed=allowed))
    return size_m(said, file=file), ()


def _take_line(entity: Any, layer: str, scale: float, lines: list[GroundLine], passed: Counter[str]) -> None:
    """The entity as a line of levels, or counted among what was passed over."""
    kind = entity.dxftype()
    corners, closed = _corners(entity, kind, scale)
    if corners is None:
        passed[kind] += 1
    elif kind == "LWPOLYLINE" and not np.any(corners[:, 2]):
        passed["polylines drawn at no level"] += 1
    elif len(corners) < 2:
        passed["lines of one point"] += 1
    else:
        role = _ROLES.get(layer.casefold(), LineRole.BREAK)
        name = f"{layer} {entity.dxf.handle}"
        lines.append(GroundLine(id=shown(name)[1:-1], xyz=corners * scale, role=role, closed=closed))


def _corners(entity: Any, kind: str, scale: float) -> tuple[Any, bool]:
    """Corners (k, 3) in the drawing's unit, arcs in straight pieces, and whether it closes; None: no line of levels."""
    if kind == "LINE":
        return np.array([tuple(entity.dxf.start), tuple(entity.dxf.end)]), False
    if kind == "POLYLINE" and entity.is_3d_polyline:
        return np.array([tuple(vertex.dxf.location) for vertex in entity.vertices]).reshape(-1, 3), bool(
            entity.is_closed
        )
    if kind == "LWPOLYLINE" or (kind == "POLYLINE" and entity.is_2d_polyline):
        from ezdxf import path

        closed = bool(entity.closed if kind == "LWPOLYLINE" else entity.is_closed)
        corners = np.array([tuple(each) for each in path.make_path(entity).flattening(ARC_M / scale)]).reshape(-1, 3)
        return (corners[:-1] if closed and len(corners) > 3 else corners), closed
    return None, False
