"""Ground: triangles over points and break lines against the bare library; lowest ways out of rough ground against what
fills hollows elsewhere; a cloud of a million points in memory."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import numpy as np
from benchmarks.measure import ONE_THREAD, ROOT, Side, Unmeasured, timed

from rillwright.ground import GroundData, GroundLine, Raster, spill_levels, tin_of
from rillwright.ground.data import Floats

POINTS, LINES, ALONG = 3000, 8, 26  # eight lines of 25 sides each: 200 sides
CLOUD, MOST_MB = 1_000_000, 2000.0
ROWS, COLUMNS = 600, 800  # 480,000 cells of rough ground
BESIDE = ("richdem", "pyflwdir", "skimage")
TIMES = 20  # in one turn: what is over in a few milliseconds

_IN_ITS_OWN_PROCESS = """
import resource, sys
from pathlib import Path
from rillwright import job
found = job.ground_of([Path(sys.argv[1])])
told = job.ground_told(found)
print(told.shots, told.triangles, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@cache
def site() -> GroundData:
    """Rough ground 50 m square with eight winding break lines across it."""
    rng = np.random.default_rng(0)

    def on(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.column_stack((x, y, np.sin(x / 5.0) + 0.1 * y))

    lines = []
    for k in range(LINES):
        x = np.linspace(1.0, 49.0, ALONG)
        lines.append(GroundLine(id=f"line {k}", xyz=on(x, 3.0 + 6.0 * k + 0.6 * np.sin(x))))
    return GroundData(name="bench", xyz=on(*(rng.random((2, POINTS)) * 50.0)), lines=tuple(lines))


def surface() -> Side:
    """Everything that makes a surface: one place once, lines kept, what is wrong looked for, triangles."""

    def many() -> None:
        for _ in range(TIMES):
            tin_of(site())

    return lambda: timed(many) / TIMES


def library() -> Side:
    """The constrained triangulation of the same points and sides, and nothing else."""
    import pythoncdt as cdt

    data = site()
    places = np.ascontiguousarray(np.concatenate([data.xyz, *(line.xyz for line in data.lines)])[:, :2])
    starts = len(data.xyz) + ALONG * np.arange(LINES)
    ends = (starts[:, None] + np.arange(ALONG - 1)).reshape(-1)
    edges = np.column_stack((ends, ends + 1)).astype(np.uintc)

    def many() -> None:
        for _ in range(TIMES):
            made = cdt.Triangulation(cdt.VertexInsertionOrder.AUTO, cdt.IntersectingConstraintEdges.NOT_ALLOWED, 0.0)
            made.insert_vertices(places)  # type: ignore[call-overload]
            made.insert_edges(edges)  # type: ignore[call-overload]
            made.erase_super_triangle()
            made.triangles_array()

    return lambda: timed(many) / TIMES


@cache
def rough_ground() -> Floats:
    """480,000 cells of 3 cm: hills whose height goes with the three-halves power of their length, 3 cm of noise [m]."""
    rng = np.random.default_rng(0)
    across = np.hypot(np.fft.fftfreq(ROWS)[:, None], np.fft.rfftfreq(COLUMNS)[None])
    across[0, 0] = 1.0
    hills = np.fft.irfft2(np.fft.rfft2(rng.normal(size=(ROWS, COLUMNS))) / across**1.5, s=(ROWS, COLUMNS))
    found: Floats = 0.5 * hills / hills.std() + rng.normal(0.0, 0.03, hills.shape)
    return found


def ways_out() -> Side:
    """The spill level of every cell, exactly."""
    ground = Raster(corner=(0.0, 0.0), cell_m=0.03, level_m=rough_ground())

    def many() -> None:
        for _ in range(TIMES):
            spill_levels(ground)

    return lambda: timed(many) / TIMES


def hollows_filled(by: str) -> Side:
    """The same ground by another library; its levels must be ours."""
    try:
        fill = _FILLS[by]()
    except ImportError:
        return _unmeasured(f"{by} is not installed")
    level = rough_ground()
    ours = spill_levels(Raster(corner=(0.0, 0.0), cell_m=0.03, level_m=level)).level_m
    off = float(np.abs(fill(level) - ours).max())
    if off > 1e-5:
        return _unmeasured(f"{by} fills hollows otherwise, by up to {off:g} m")
    return lambda: timed(lambda: fill(level))


def _unmeasured(reason: str) -> Side:
    def never() -> float:
        raise Unmeasured(reason)

    return never


def _by_richdem() -> Callable[[Floats], Floats]:
    import richdem

    def fill(level: Floats) -> Floats:
        with _silent():
            given = richdem.rdarray(level.copy(), no_data=-9999.0)
            richdem.FillDepressions(given, in_place=True)
        return np.asarray(given)

    return fill


def _by_pyflwdir() -> Callable[[Floats], Floats]:
    from pyflwdir import dem

    return lambda level: np.asarray(dem.fill_depressions(level, nodata=-9999.0)[0])


def _by_skimage() -> Callable[[Floats], Floats]:
    from skimage.morphology import reconstruction as made

    reconstruction: Callable[..., Floats] = made

    def fill(level: Floats) -> Floats:
        held = np.full_like(level, level.max())
        held[[0, -1]], held[:, [0, -1]] = level[[0, -1]], level[:, [0, -1]]
        return np.asarray(reconstruction(held, level, method="erosion"))

    return fill


_FILLS = dict(zip(BESIDE, (_by_richdem, _by_pyflwdir, _by_skimage), strict=True))


@contextmanager
def _silent() -> Iterator[None]:
    """Nothing to be read of a library that tells its sources at each call, from below Python too."""
    sys.stdout.flush()
    held = [os.dup(each) for each in (1, 2)]
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for each in (1, 2):
        os.dup2(nowhere, each)
    try:
        yield
    finally:
        for each, was in zip((1, 2), held, strict=True):
            os.dup2(was, each)
            os.close(was)
        os.close(nowhere)


def cloud(path: Path) -> None:
    """A made cloud of a million points over a lawn of 100 m square, a third of it bushes, classed."""
    import laspy

    rng = np.random.default_rng(1)
    header = laspy.LasHeader(point_format=6, version="1.4")
    header.scales = np.full(3, 0.001)
    header.vlrs.append(laspy.vlrs.known.WktCoordinateSystemVlr('PROJCS["made",UNIT["metre",1]]'))
    made = laspy.LasData(header)
    x, y = rng.random((2, CLOUD)) * 100.0
    bush = rng.random(CLOUD) < 1 / 3
    made.x, made.y = x, y
    made.z = 0.02 * x + np.sin(y / 9.0) + np.where(bush, rng.random(CLOUD) * 2.0, 0.0)
    made.classification = np.where(bush, 4, 2).astype(np.uint8)
    made.write(path)


def in_a_cloud() -> tuple[str, bool]:
    """What a million points took of memory, thinned and triangulated, and whether that was too much."""
    here = os.environ | ONE_THREAD | {"PYTHONPATH": str(ROOT / "src")}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "cloud.las"
        cloud(path)
        done = subprocess.run(
            [sys.executable, "-c", _IN_ITS_OWN_PROCESS, str(path)],
            env=here,
            capture_output=True,
            text=True,
            check=False,
        )
    if done.returncode != 0:
        why = (done.stderr.strip().splitlines() or ["no word why"])[-1][:80]
        return f"cloud of {CLOUD:,} points: not measured: {why}", False
    shots, triangles, most = (int(word) for word in done.stdout.split())
    taken = most / (1024.0 if sys.platform != "darwin" else 1024.0**2)  # kilobytes, on macOS bytes
    verdict = "met" if taken <= MOST_MB else "MISSED"
    kept = f"cloud of {CLOUD:,} points: {shots:,} kept, {triangles:,} triangles"
    return f"{kept}, {taken:.0f} MB of {MOST_MB:.0f} MB at most: {verdict}", taken > MOST_MB
