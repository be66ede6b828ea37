"""LandXML surfaces in: points, faces, break lines, boundaries, in the file's own unit and order."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NoReturn
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

import numpy as np
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import shown
from rillwright.exchange.site_units import agreed, named, size_m
from rillwright.ground import GroundData, GroundLine, LineRole

MOST_POINTS = 1_000_000
_METRIC = {"millimeter": "mm", "centimeter": "cm", "meter": "m", "kilometer": "km"}
_IMPERIAL = {"foot": "ft", "USSurveyFoot": "us ft", "inch": "in", "mile": "mile"}
_ROLES = {"breakline": LineRole.BREAK, "outer": LineRole.BOUNDARY, "void": LineRole.HOLE}
Rows = list[tuple[float, float, float]]


def read_landxml(content: bytes, *, file: str, surface: str | None = None, unit: str | None = None) -> GroundData:
    """One surface of a LandXML file: its own triangles where it has any, else its points and lines.

    Parameters
    ----------
    content : bytes
        The file as it is.
    file : str
        Its name, for messages.
    surface : str or None
        Name of the surface; None where the file has only one, or points alone.
    unit : str or None
        Unit of a file that names none: m, ft, us ft, in, mm.

    Returns
    -------
    GroundData
        Levels [m], x to the east, y to the north.

    Raises
    ------
    InputError
        If it is no LandXML, declares entities, names no unit, or has no such surface.

    References
    ----------
    LandXML 1.2 and 2.0: points are northing, easting, elevation; a face with i="1" is not to be seen.
    """
    root = _parsed(content, file)
    if _bare(root) != "LandXML":
        raise InputError(Problem(message="is no LandXML file", file=file, found=shown(_bare(root)), allowed="LandXML"))
    scale, remarks = _unit(root, unit, file)
    surfaces = [each for each in root.iter() if _bare(each) == "Surface"]
    if not surfaces:
        return replace(_of_points(root, scale, remarks, file), unit=named(scale))
    return replace(_of_surface(_picked(surfaces, surface, file), scale, remarks, file), unit=named(scale))


def _parsed(content: bytes, file: str) -> Element:
    """The tree of a file that declares no document type: LandXML has none, and only there could entities hide."""
    builder = TreeBuilder()
    parser = expat.ParserCreate(namespace_separator="}")

    def declared(*_: Any) -> NoReturn:
        message = "declares a document type, in which entities can hide; LandXML has none"
        raise InputError(
            Problem(message=message, file=file, line=parser.CurrentLineNumber, allowed="a file without DOCTYPE")
        )

    parser.StartDoctypeDeclHandler = declared
    parser.EntityDeclHandler = declared
    parser.StartElementHandler = builder.start
    parser.EndElementHandler = builder.end
    parser.CharacterDataHandler = builder.data
    try:
        parser.Parse(content, True)
        return builder.close()
    except (expat.ExpatError, AssertionError, ValueError, LookupError) as error:
        line = parser.CurrentLineNumber
        raise InputError(Problem(message=f"is not XML: {str(error)[:80]}", file=file, line=line)) from error


def _bare(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _children(element: Element, name: str) -> Iterator[Element]:
    return (each for each in element if _bare(each) == name)


def _unit(root: Element, said: str | None, file: str) -> tuple[float, tuple[str, ...]]:
    for units in _children(root, "Units"):
        for each in units:
            known = {"Metric": _METRIC, "Imperial": _IMPERIAL}.get(_bare(each), {})
            named = each.get("linearUnit", "")
            if named in known:
                return agreed(known[named], said, file=file)
            allowed = ", ".join((*_METRIC, *_IMPERIAL))
            message = "names a unit that is not known"
            raise InputError(Problem(message=message, file=file, field="Units", found=shown(named), allowed=allowed))
    return size_m(said, file=file), ()


def _picked(surfaces: list[Element], name: str | None, file: str) -> Element:
    names = [each.get("name", "") for each in surfaces]
    if name is None and len(surfaces) == 1:
        return surfaces[0]
    if name is None or names.count(name) != 1:
        message = "has several surfaces; say which" if name is None else "has no such surface, or several of that name"
        allowed = ", ".join(shown(each) for each in names[:20])
        found = "" if name is None else shown(name)
        raise InputError(Problem(message=message, file=file, field="surface", found=found, allowed=allowed))
    return surfaces[names.index(name)]


def _of_surface(surface: Element, scale: float, remarks: tuple[str, ...], file: str) -> GroundData:
    label = f"{file}: {surface.get('name', '')}".rstrip(": ")
    for definition in _children(surface, "Definition"):
        kind = definition.get("surfType", "TIN")
        if kind != "TIN":
            raise InputError(
                Problem(message="is a surface of another kind", file=label, found=shown(kind), allowed="TIN")
            )
        found = _of_definition(definition, scale, label)
        if found is not None:
            return GroundData(name=label, xyz=found[0], names=found[1], faces=found[2], remarks=(*remarks, *found[3]))
    rows: Rows = []
    lines: list[GroundLine] = []
    for source in _children(surface, "SourceData"):
        for each in source:
            rows += _loose(each, file)
            lines += _lines(each, scale, file)
    if not rows and not lines:
        raise InputError(Problem(message="the surface has neither faces nor points", file=label))
    return GroundData(name=label, xyz=_east_first(rows, scale), lines=tuple(lines), remarks=remarks)


_Defined = tuple[Any, tuple[str, ...], Any, tuple[str, ...]]


def _of_definition(definition: Element, scale: float, file: str) -> _Defined | None:
    """Points, their names and faces of a surface's definition, None where it has none."""
    ids: dict[str, int] = {}
    rows: Rows = []
    for points in _children(definition, "Pnts"):
        for each in _children(points, "P"):
            name = each.get("id", str(len(rows) + 1))
            if name in ids:
                raise InputError(Problem(message="a point stands twice", file=file, field="P", found=shown(name)))
            ids[name] = len(rows)
            rows += _triples(each.text, f"P {name}", file)
            if len(rows) != len(ids):
                raise InputError(Problem(message="a point has three numbers", file=file, field=f"P {name}"))
    faces: list[tuple[int, int, int]] = []
    unseen = 0
    for group in _children(definition, "Faces"):
        for each in _children(group, "F"):
            if each.get("i") == "1":
                unseen += 1
                continue
            faces.append(_face(each.text, ids, len(faces) + unseen + 1, file))
    if not faces:
        return None
    remarks = (f"{unseen} faces are marked as not to be seen and are no ground",) if unseen else ()
    return _east_first(rows, scale), tuple(ids), np.array(faces, dtype=np.int64), remarks


def _face(text: str | None, ids: dict[str, int], number: int, file: str) -> tuple[int, int, int]:
    names = (text or "").split()
    lost = [name for name in names if name not in ids]
    if len(names) != 3 or lost:
        message = "a face names a point that is not there" if lost else "a face has three corners"
        found = shown(" ".join(lost or names))
        raise InputError(Problem(message=message, file=file, field=f"F {number}", found=found))
    a, b, c = (ids[name] for name in names)
    return a, b, c


def _loose(element: Element, file: str) -> Rows:
    if _bare(element) != "DataPoints":
        return []
    return [row for points in _children(element, "PntList3D") for row in _triples(points.text, "DataPoints", file)]


def _lines(element: Element, scale: float, file: str) -> list[GroundLine]:
    kinds = {"Breaklines": "Breakline", "Boundaries": "Boundary"}
    found = []
    for number, each in enumerate(_children(element, kinds.get(_bare(element), "nothing")), start=1):
        name = each.get("name") or f"{_bare(each).lower()} {number}"
        rows = [row for points in _children(each, "PntList3D") for row in _triples(points.text, name, file)]
        if not rows:
            message = "a line has no levels: it is drawn in plan alone"
            raise InputError(Problem(message=message, file=file, field=name, allowed="PntList3D"))
        kind = "breakline" if _bare(each) == "Breakline" else each.get("bndType", "outer")
        if kind not in _ROLES:
            message, allowed = "a boundary of a kind that is not read", ", ".join(_ROLES)
            raise InputError(Problem(message=message, file=file, field=name, found=shown(kind), allowed=allowed))
        role = _ROLES[kind]
        xyz = _east_first(rows, scale)
        ends = len(xyz) > 2 and bool((xyz[0] == xyz[-1]).all())
        found.append(GroundLine(id=name, xyz=xyz, role=role, closed=ends and role is LineRole.BREAK))
    return found


def _of_points(root: Element, scale: float, remarks: tuple[str, ...], file: str) -> GroundData:
    """The file's survey points, where it has no surface."""
    rows: Rows = []
    names: list[str] = []
    for each in root.iter():
        if _bare(each) == "CgPoint" and (each.text or "").strip():
            name = each.get("name") or str(len(names) + 1)
            rows += _triples(each.text, f"CgPoint {name}", file)
            names.append(name)
    if not rows:
        raise InputError(Problem(message="has no surface and no points", file=file))
    return GroundData(name=file, xyz=_east_first(rows, scale), names=tuple(names), remarks=remarks)


def _triples(text: str | None, where: str, file: str) -> Rows:
    """Northing, easting, elevation again and again."""
    words = (text or "").split()
    try:
        numbers = [float(word) for word in words]
    except ValueError:
        numbers = [math.nan]
    if len(numbers) % 3 or not numbers or not all(map(math.isfinite, numbers)):
        message = "not numbers by threes: northing, easting, elevation"
        raise InputError(Problem(message=message, file=file, field=where, found=shown(" ".join(words)[:60])))
    if len(numbers) > 3 * MOST_POINTS:
        raise InputError(Problem(message="too many points", file=file, allowed=f"at most {MOST_POINTS:,}"))
    return list(zip(numbers[0::3], numbers[1::3], numbers[2::3], strict=True))


def _east_first(rows: Rows, scale: float) -> Any:
    return np.array(rows, dtype=np.float64).reshape(-1, 3)[:, (1, 0, 2)] * scale
