"""Foreign ground in: LandXML, DXF, LAS, CSV; in the file's own units and order, and refused by name. All invented."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.exchange import (
    ground_of_points,
    read_dxf,
    read_landxml,
    read_las,
    read_points_csv,
    write_contours_dxf,
)
from rillwright.ground import GroundData, LineRole, contours, levels_at, tin_of, volumes_to_level

FT = 0.3048
HEAD = '<?xml version="1.0"?><LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2">'
METRIC = '<Units><Metric areaUnit="squareMeter" linearUnit="meter" volumeUnit="cubicMeter"/></Units>'
SURVEY_FEET = '<Units><Imperial areaUnit="squareFoot" linearUnit="USSurveyFoot" volumeUnit="cubicFeet"/></Units>'
# z = 100 + 0.1 x - 0.05 y on 10 by 10, corners numbered anyhow; P holds northing, easting, elevation
PNTS = (
    '<P id="7">0 0 100</P><P id="3">0 10 101</P><P id="9">10 10 100.5</P><P id="1">10 0 99.5</P><P id="2">90 90 0</P>'
)
FACES = '<F>7 3 9</F><F n="0 1 0">7 1 9</F><F i="1">3 9 2</F>'


def tin_file(*, units: str = METRIC, pnts: str = PNTS, faces: str = FACES, name: str = "ground") -> bytes:
    defined = f'<Definition surfType="TIN"><Pnts>{pnts}</Pnts><Faces>{faces}</Faces></Definition>'
    surface = f'<Surface name="{name}">{defined}</Surface>'
    return f"{HEAD}{units}<Surfaces>{surface}</Surfaces></LandXML>".encode()


def read(content: bytes, **said: str) -> GroundData:
    return read_landxml(content, file="site.xml", **said)


def refused(call: Callable[[], object]) -> str:
    with pytest.raises(InputError) as caught:
        call()
    return str(caught.value)


def test_landxml_faces_in_the_order_north_east_level() -> None:
    """The plane z = 100 + 0.1 x - 0.05 y: volume above 99 is 125 (closed form); with the axes mistaken it is not."""
    found = read(tin_file())
    tin = tin_of(found)
    assert volumes_to_level(tin, 99.0).cut_m3 == pytest.approx(125.0, abs=1e-9)
    assert levels_at(tin, np.array([(8.0, 2.0)])) == pytest.approx([100.7])
    assert found.remarks == ("1 faces are marked as not to be seen and are no ground",)
    assert tin.named(0) == "point 7"


def test_landxml_in_survey_feet() -> None:
    """1200/3937 m a foot (definition, from memory): volumes are as its cube."""
    foot = 1200 / 3937
    tin = tin_of(read(tin_file(units=SURVEY_FEET)))
    assert volumes_to_level(tin, 99 * foot).cut_m3 == pytest.approx(125.0 * foot**3, rel=1e-9)


def test_landxml_points_and_break_lines() -> None:
    source = (
        "<SourceData><DataPoints><PntList3D>0 0 1 0 10 1 10 10 1 10 0 1</PntList3D></DataPoints>"
        '<Breaklines><Breakline name="kerb"><PntList3D>2 1 0.5 2 9 0.5</PntList3D></Breakline></Breaklines>'
        '<Boundaries><Boundary bndType="void"><PntList3D>6 4 1 6 6 1 8 6 1 8 4 1</PntList3D></Boundary></Boundaries>'
        "</SourceData>"
    )
    content = f'{HEAD}{METRIC}<Surfaces><Surface name="a">{source}</Surface></Surfaces></LandXML>'.encode()
    found = read(content)
    assert [(each.id, each.role) for each in found.lines] == [
        ("kerb", LineRole.BREAK), ("boundary 1", LineRole.HOLE),
    ]  # fmt: skip
    tin = tin_of(found)
    assert tin.area_m2 == pytest.approx(96.0)
    assert levels_at(tin, np.array([(5.0, 2.0), (5.0, 7.0)]))[0] == pytest.approx(0.5)


def test_landxml_survey_points_alone() -> None:
    points = '<CgPoints><CgPoint name="bm">5 2 10</CgPoint><CgPoint>6 2 11</CgPoint></CgPoints>'
    found = read(f"{HEAD}{METRIC}{points}</LandXML>".encode())
    assert found.names == ("bm", "2")
    assert found.xyz.tolist() == [[2.0, 5.0, 10.0], [2.0, 6.0, 11.0]]


BOMB = b"""<?xml version="1.0"?><!DOCTYPE LandXML [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]><LandXML>&c;</LandXML>"""
LANDXML_REFUSED = {
    "an entity bomb": (BOMB, "declares a document type"),
    "an outside entity": (b'<!DOCTYPE a [<!ENTITY x SYSTEM "file:///lost">]><LandXML>&x;</LandXML>', "document type"),
    "no XML": (b"\x00\x01nothing", "is not XML"),
    "an empty file": (b"", "is not XML"),
    "half a file": (tin_file()[:200], "is not XML"),
    "other XML": (b"<gpx/>", "is no LandXML file"),
    "an unknown unit": (tin_file(units='<Units><Metric linearUnit="cubit"/></Units>'), "'cubit'"),
    "no unit": (tin_file(units=""), "does not say in which unit"),
    "a lost point": (tin_file(faces="<F>7 3 88</F>"), "a face names a point that is not there (found '88')"),
    "a face of four": (tin_file(faces="<F>7 3 9 1</F>"), "a face has three corners"),
    "no number": (tin_file(pnts='<P id="7">0 zero 100</P>'), "northing, easting, elevation"),
    "two numbers": (tin_file(pnts='<P id="7">0 0</P>'), "northing, easting, elevation"),
    "not a number": (tin_file(pnts='<P id="7">0 0 nan</P>'), "northing, easting, elevation"),
    "a point twice": (tin_file(pnts=PNTS + '<P id="7">1 1 1</P>'), "a point stands twice"),
    "a grid": (tin_file().replace(b'"TIN"', b'"grid"'), "is a surface of another kind"),
    "nothing in it": (f"{HEAD}{METRIC}</LandXML>".encode(), "has no surface and no points"),
    "an empty surface": (f"{HEAD}{METRIC}<Surface name='x'/></LandXML>".encode(), "neither faces nor points"),
}  # fmt: skip


@pytest.mark.parametrize("name", LANDXML_REFUSED)
def test_landxml_is_refused_by_name(name: str) -> None:
    content, told = LANDXML_REFUSED[name]
    assert told in refused(lambda: read(content))


def test_which_of_several_surfaces() -> None:
    one = tin_file(name="before").partition(b"<Surfaces>")[2].partition(b"</Surfaces>")[0]
    both = tin_file(name="after").replace(b"<Surfaces>", b"<Surfaces>" + one)
    assert "say which (allowed: 'before', 'after')" in refused(lambda: read(both))
    assert read(both, surface="after").name == "site.xml: after"
    assert "no such surface" in refused(lambda: read(both, surface="later"))


def test_the_unit_of_the_file_counts() -> None:
    assert read(tin_file(units=""), unit="ft").xyz.max() == pytest.approx(101 * FT)
    told = read(tin_file(), unit="ft")
    assert told.xyz.max() == pytest.approx(101.0)
    assert told.remarks[0] == "site.xml says that it is in m; that counts, not ft"


@given(st.binary(max_size=400))
def test_whatever_bytes_are_read_as_landxml(content: bytes) -> None:
    assert refused(lambda: read(content))


def drawing(units: int = 6) -> bytes:
    from ezdxf.filemanagement import new

    made = new("R2010", units=units)
    space = made.modelspace()
    for place in ((0, 0, 1), (10, 0, 1), (10, 10, 2), (0, 10, 2)):
        space.add_point(place, dxfattribs={"layer": "shots"})
    space.add_polyline3d([(2, 2, 0.5), (8, 2, 0.5), (8, 5, 0.7)], dxfattribs={"layer": "kerb"})
    space.add_lwpolyline([(2, 7), (8, 7)], dxfattribs={"layer": "lines", "elevation": 1.5})
    space.add_lwpolyline([(1, 1), (9, 1)], dxfattribs={"layer": "lines"})
    space.add_line((2, 8, 1.7), (8, 8, 1.7), dxfattribs={"layer": "lines"})
    space.add_text("note")
    text = io.StringIO()
    made.write(text)
    return text.getvalue().encode()


def test_dxf_points_and_polylines() -> None:
    found = read_dxf(drawing(), file="site.dxf")
    assert len(found.xyz) == 4
    assert [each.id.split()[0] for each in found.lines] == ["kerb", "lines", "lines"]
    assert found.remarks == (
        "passed over in site.dxf: 1 TEXT", "passed over in site.dxf: 1 polylines drawn at no level",
    )  # fmt: skip
    tin = tin_of(found)
    assert levels_at(tin, np.array([(5, 2), (8, 3.5), (5, 7), (5, 8)])) == pytest.approx([0.5, 0.6, 1.5, 1.7])


def test_dxf_units_and_layers() -> None:
    """$INSUNITS 2 is feet, 21 survey feet, 0 says nothing (from memory)."""
    assert read_dxf(drawing(2), file="f").xyz.max() == pytest.approx(10 * FT)
    assert read_dxf(drawing(21), file="f").xyz.max() == pytest.approx(10 * 1200 / 3937)
    assert "does not say in which unit" in refused(lambda: read_dxf(drawing(0), file="f"))
    assert read_dxf(drawing(0), file="f", unit="ft").xyz.max() == pytest.approx(10 * FT)
    only = read_dxf(drawing(), file="f", layers=("KERB",))
    assert (len(only.xyz), len(only.lines)) == (0, 1)
    assert only.remarks == ("passed over in f: 8 on other layers",)
    assert "holds no level (found 9 on other layers" in refused(lambda: read_dxf(drawing(), file="f", layers=("none",)))


@pytest.mark.parametrize("content", [b"", b"nothing", b"\x00" * 50, drawing()[:3000], b"  0\nSECTION\n  2\nENTITIES\n"])
def test_what_is_no_dxf(content: bytes) -> None:
    assert refused(lambda: read_dxf(content, file="f"))


def test_an_arc_in_a_polyline_is_followed() -> None:
    """A half circle of radius 1: corners on it to half a millimetre, as the curve through which it is drawn."""
    from ezdxf.filemanagement import new

    made = new("R2010", units=6)
    made.modelspace().add_lwpolyline([(-1, 0, 0, 0, 1), (1, 0, 0, 0, 0)], dxfattribs={"elevation": 3})
    text = io.StringIO()
    made.write(text)
    xyz = read_dxf(text.getvalue().encode(), file="f").lines[0].xyz
    assert np.hypot(*xyz[:, :2].T) == pytest.approx(np.ones(len(xyz)), abs=5e-4)
    middles = (xyz[1:] + xyz[:-1])[:, :2] / 2
    assert np.hypot(*middles.T).min() > 0.999


def test_contours_go_out_and_come_in_again() -> None:
    """The reader measures the same length and levels; the same contours give the same bytes."""
    x, y = np.meshgrid(np.arange(6.0), np.arange(6.0))
    z = 2.0 - np.hypot(x - 2.5, y - 2.5)
    tin = tin_of(GroundData(name="cone", xyz=np.column_stack((x.ravel(), y.ravel(), z.ravel()))))
    found = contours(tin, [0.5, 1.0])
    text = write_contours_dxf(found, shots=tin.xyz)
    assert text == write_contours_dxf(found, shots=tin.xyz)
    back = read_dxf(text.encode(), file="f")
    assert len(back.xyz) == 36
    for line, contour in zip(back.lines, found, strict=True):
        assert (line.closed, line.xyz[0, 2]) == (contour.closed, contour.level_m)
        assert np.sort(line.xyz[:, 0]) == pytest.approx(np.sort(contour.xy[:, 0]))


def cloud(path: Path, *, ground: bool, count: int = 40_000, wkt: str = 'PROJCS["x",UNIT["metre",1]]') -> Path:
    """A sloping lawn 20 by 20 with bushes over a third of it."""
    import laspy

    rng = np.random.default_rng(3)
    x, y = rng.random((2, count)) * 20.0
    bush = (x > 13.0) & (rng.random(count) < 0.9)
    header = laspy.LasHeader(point_format=6, version="1.4")
    header.scales, header.offsets = np.full(3, 0.001), np.array((500.0, 900.0, 0.0))
    made = laspy.LasData(header)
    made.x, made.y, made.z = x + 500.0, y + 900.0, 10.0 + 0.1 * x + np.where(bush, rng.random(count) * 2.0, 0.0)
    kinds = np.where(bush, 3, 2 if ground else 1).astype(np.uint8)
    kinds[:50] = 7
    made.classification = kinds
    made.z[:50] = -50.0
    if wkt:
        header.vlrs.append(laspy.vlrs.known.WktCoordinateSystemVlr(wkt))
    made.write(path)
    return path


@pytest.mark.parametrize("kind", ["las", "laz"])
def test_a_cloud_thinned_to_its_ground(tmp_path: Path, kind: str) -> None:
    """Bushes and noise left out where ground is told; the lawn's plane comes back."""
    found = read_las(cloud(tmp_path / f"lawn.{kind}", ground=True), file="lawn")
    tin = tin_of(found)
    at = np.array([(505.0, 905.0), (517.0, 911.0)])
    assert levels_at(tin, at) == pytest.approx([10.5, 11.7], abs=0.002)
    assert found.sigma_m == pytest.approx(0.03)
    assert "told to be ground" in found.remarks[-1]
    assert len(found.xyz) < 41_000


def test_a_cloud_without_classes_gives_its_lowest(tmp_path: Path) -> None:
    found = read_las(cloud(tmp_path / "lawn.las", ground=False), file="lawn", cell_m=1.0)
    assert len(found.xyz) == 400
    assert "the lowest: plants and walls may stand in it" in found.remarks[-1]
    off = found.xyz[:, 2] - (10.0 + 0.1 * (found.xyz[:, 0] - 500.0))
    assert abs(off).max() < 0.15


def test_clouds_that_are_refused(tmp_path: Path) -> None:
    degrees = cloud(tmp_path / "d.las", ground=True, count=100, wkt='GEOGCS["x",UNIT["degree",0.0174532925]]')
    assert "is in degrees" in refused(lambda: read_las(degrees, file="d"))
    silent = cloud(tmp_path / "s.las", ground=True, count=100, wkt="")
    assert "does not say in which unit" in refused(lambda: read_las(silent, file="s"))
    feet = cloud(tmp_path / "f.las", ground=True, count=100, wkt='PROJCS["x",UNIT["US survey foot",0.3048006096]]')
    assert read_las(feet, file="f").xyz[:, 0].max() == pytest.approx(518 * 1200 / 3937, abs=1.0)
    for number, content in enumerate((b"", b"LASF", b"nothing at all" * 40, silent.read_bytes()[:300])):
        path = tmp_path / f"{number}.las"
        path.write_bytes(content)
        assert refused(lambda path=path: read_las(path, file="x", unit="m"))  # type: ignore[misc]
    assert "too many cells" in refused(lambda: read_las(silent, file="s", unit="m", cell_m=1e-4))


CSV = """point,easting,northing,level,surface,line
a,0,0,1,ground,
b,10,0,1,ground,kerb
c,10,10,2,ground,kerb; boundary
d,0,10,2,,boundary
e,5,5,9,liner,
f,5,4,,ground,
g,1,1,1.1,mark,boundary
"""


def test_csv_with_lines() -> None:
    found = ground_of_points(read_points_csv(CSV, file="a.csv"), file="a.csv")
    assert found.names == ("a", "b", "c", "d", "g")
    assert [(each.id, each.role, len(each.xyz)) for each in found.lines] == [
        ("kerb", LineRole.BREAK, 2), ("boundary", LineRole.BOUNDARY, 3),
    ]  # fmt: skip
    assert found.remarks == ("passed over in a.csv: 2 points without a level of ground",)
    assert tin_of(found).area_m2 == pytest.approx(45.0)
    assert "holds no level of ground" in refused(
        lambda: ground_of_points(read_points_csv("P,N,E,Z\na,1,1,\n", file="a"), file="a")
    )
