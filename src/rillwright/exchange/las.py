"""Clouds of points in, LAS and LAZ, thinned as they are read."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.errors import InputError, Problem
from rillwright.exchange.site_units import SIZES_M, agreed, named, size_m
from rillwright.ground import GroundData, Thinning
from rillwright.sources import default

if TYPE_CHECKING:
    from laspy import LasHeader

AT_ONCE = 250_000  # points held at a time
GROUND, NOISE = 2, (7, 18)  # classes of ASPRS LAS 1.4, table 17
_KEY_LINEAR, _KEY_MODEL = 3076, 1024  # GeoTIFF keys: unit of a projection, kind of system
_GEO_UNITS = {9001: "m", 9002: "ft", 9003: "us ft"}
_NAMED = re.compile(r'UNIT\["([^"]+)",\s*([0-9.eE+-]+)')


def read_las(path: Path, *, file: str, cell_m: float | None = None, unit: str | None = None) -> GroundData:
    """A cloud of points, one kept a cell: the point of ground nearest to its middle, or the lowest of all.

    Never the whole cloud is held. Points that are withheld or told to be noise are left out.

    Parameters
    ----------
    path : Path
        The file, .las or .laz.
    file : str
        Its name, for messages.
    cell_m : float or None
        Side of a cell [m]; None: so that some 20,000 points are kept, by default `ground.cloud`, and at least 0.1 m.
    unit : str or None
        Unit of a cloud that names none: m, ft, us ft.

    Returns
    -------
    GroundData
        Levels [m] with the standard error of the default `ground.cloud_sigma` [m]; remarks say what was kept and why.

    Raises
    ------
    InputError
        If it cannot be read, is in degrees, names no unit, or holds no point.

    References
    ----------
    ASPRS LAS 1.4, table 17: class 2 is ground, 7 and 18 are noise; from memory.
    """
    import laspy

    try:
        with laspy.open(path) as cloud:
            return _thinned(cloud, file, cell_m=cell_m, unit=unit)
    except laspy.errors.LazError as error:
        message = "is packed; install rillwright[laz] to read it, or unpack it"
        raise InputError(Problem(message=message, file=file, found=str(error)[:80])) from error
    except (laspy.errors.LaspyException, OSError, ValueError, RuntimeError, OverflowError, MemoryError) as error:
        raise InputError(Problem(message=f"is no cloud that can be read: {str(error)[:100]}", file=file)) from error


def _thinned(cloud: Any, file: str, *, cell_m: float | None, unit: str | None) -> GroundData:
    header = cloud.header
    scale, remarks = _unit(header, unit, file)
    low, high = header.mins[:2] * scale, header.maxs[:2] * scale
    if not header.point_count or not (np.isfinite(low).all() and np.isfinite(high).all() and (high >= low).all()):
        raise InputError(Problem(message="holds no point, or does not say where they lie", file=file))
    wide = np.maximum(high - low, 0.01)
    cell = cell_m if cell_m is not None else _cell_m(float(wide.prod()))
    ends = ((float(low[0]), float(low[1])), (float(high[0]), float(high[1])))
    thinning = Thinning(*ends, cell_m=cell, file=file)
    seen = 0
    for batch in cloud.chunk_iterator(AT_ONCE):
        kind = np.asarray(batch.classification)
        used = ~np.isin(kind, NOISE) & ~np.asarray(batch.withheld).astype(bool)
        xyz = np.column_stack((batch.x, batch.y, batch.z))[used] * scale
        seen += len(xyz)
        thinning.take(xyz, kind[used] == GROUND)
    kept, told = thinning.kept()
    if not len(kept):
        raise InputError(
            Problem(message="holds no point that counts", file=file, found=f"{header.point_count:,} points")
        )
    how = "told to be ground, the nearest to its middle" if told else "the lowest: plants and walls may stand in it"
    said = f"{file}: {len(kept):,} of {header.point_count:,} points kept, one a cell of {cell:.2f} m, {how}"
    sigma_m = default("ground.cloud_sigma").number
    return GroundData(name=file, xyz=kept, sigma_m=sigma_m, unit=named(scale), remarks=(*remarks, said))


def _cell_m(area_m2: float) -> float:
    """Side of a cell [m] to the next larger of 1, 2, 5 times a power of ten, at which about so many are kept."""
    wanted = max(math.sqrt(area_m2 / default("ground.cloud").number), 0.1)
    power = 10.0 ** math.floor(math.log10(wanted) + 1e-9)
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= wanted * (1 - 1e-9))


def _unit(header: LasHeader, said: str | None, file: str) -> tuple[float, tuple[str, ...]]:
    """Size [m] of the cloud's unit, as its header names it, else as a person says."""
    degrees = InputError(Problem(message="is in degrees, not in a grid of metres or feet", file=file))
    for record in header.vlrs:
        keys = {key.id: key.value_offset for key in getattr(record, "geo_keys", ())}
        if keys.get(_KEY_MODEL) == 2:
            raise degrees
        if keys.get(_KEY_LINEAR) in _GEO_UNITS:
            return agreed(_GEO_UNITS[keys[_KEY_LINEAR]], said, file=file)
        text = getattr(record, "string", "")
        if isinstance(text, str) and text:
            if text.startswith(("GEOGCS", "GEOGCRS", "GEODCRS")):
                raise degrees
            sizes = [float(size) for name, size in _NAMED.findall(text) if "deg" not in name.lower()]
            named = [name for name, known in SIZES_M.items() for size in sizes if abs(size / known - 1.0) < 1e-7]
            if named:
                return agreed(named[0], said, file=file)
    return size_m(said, file=file), ()
