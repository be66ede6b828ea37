"""One file of levels of the ground, of any kind that is read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.job.files import read_bytes, read_text

if TYPE_CHECKING:
    from rillwright.ground import GroundData

LARGEST_CLOUD = 4_000_000_000  # bytes; it is read bit by bit


class GroundSaid(Struct, frozen=True, kw_only=True):
    """What a person says of files that do not say it themselves."""

    unit: str | None = None
    order: str | None = None  # of a CSV without a header
    surface: str | None = None  # of a LandXML file with several
    layers: tuple[str, ...] = ()  # of a DXF drawing; none: all
    cell_m: float | None = None  # of a cloud


def of_file(path: Path, said: GroundSaid, *, file: str) -> GroundData:
    """The levels of one file, which is called `file` in what is said of it.

    Raises
    ------
    InputError
        If it is no kind of file that holds ground, or cannot be read as one.
    """
    kind = path.suffix.lower()
    if kind in (".xml", ".landxml"):
        from rillwright.exchange import read_landxml

        return read_landxml(read_bytes(path, file=file), file=file, surface=said.surface, unit=said.unit)
    if kind == ".dxf":
        from rillwright.exchange import read_dxf

        return read_dxf(read_bytes(path, file=file), file=file, layers=said.layers, unit=said.unit)
    if kind in (".las", ".laz"):
        from rillwright.exchange import read_las

        _there(path, file)
        return read_las(path, file=file, cell_m=said.cell_m, unit=said.unit)
    if kind in (".geojson", ".json"):
        from rillwright.exchange import ground_of_points, read_points_geojson

        points = read_points_geojson(read_text(path, file=file), file=file)
        return replace(ground_of_points(points, file=file), unit="m")
    if kind in (".csv", ".txt"):
        return _of_csv(path, file, said)
    allowed = "a job folder, .xml (LandXML), .dxf, .las, .laz, .csv, .geojson"
    raise InputError(Problem(message="is no kind of file that holds ground", file=file, found=kind, allowed=allowed))


def _of_csv(path: Path, file: str, said: GroundSaid) -> GroundData:
    from rillwright.exchange import ground_of_points, read_points_csv

    text = read_text(path, file=file)
    if said.unit is None:
        message = "does not say in which unit it is; say it"
        raise InputError(Problem(message=message, file=file, field="unit", allowed="m, ft"))
    points = read_points_csv(text, file=file, order=said.order, unit=said.unit)
    return replace(ground_of_points(points, file=file), unit=said.unit)


def _there(path: Path, file: str) -> None:
    """Raise as every other file does where it is not there, or too large."""
    try:
        size = path.stat().st_size
    except OSError as error:
        raise InputError(Problem(message="is not there", file=file)) from error
    if size > LARGEST_CLOUD:
        allowed = f"up to {LARGEST_CLOUD:,} bytes"
        raise InputError(
            Problem(message="is too large to be read", file=file, found=f"{size:,} bytes", allowed=allowed)
        )
