"""Operating points in batch: against EPANET in process, per evaluation, and against NumPy over the same batch."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from benchmarks.measure import Side, Unmeasured, timed

from rillwright.hydraulics import operating_points

DESIGNS, BY_EPANET = 100_000, 2_000
LOOP = """[RESERVOIRS]
 POND 0
 TOP 3
[JUNCTIONS]
 J 0 0
[PIPES]
 R J TOP 30 77.9 0.0015 6 Open
[PUMPS]
 P POND J HEAD C
[CURVES]
 C 0 8
 C 5 6
 C 10 0
[OPTIONS]
 UNITS LPS
 HEADLOSS D-W
 ACCURACY 0.00000001
[END]
"""


def designs(count: int) -> dict[str, Any]:
    """Invented designs [SI] around a loop of a pond, a pump 8 - 0.08 Q^2 and a pipe."""
    chance = np.random.default_rng(4)
    exponent, shut_off = chance.uniform(1.5, 2.5, count), chance.uniform(6.0, 10.0, count)
    return {
        "static_m": chance.uniform(1.0, 4.0, count),
        "inside_m": chance.choice([0.0520, 0.0779, 0.1016], count),
        "length_m": chance.uniform(10.0, 60.0, count),
        "roughness_m": np.full(count, 1.5e-6),
        "loss_k": chance.uniform(2.0, 10.0, count),
        "shut_off_m": shut_off,
        "drop": shut_off / 0.010**exponent,
        "exponent": exponent,
    }


def batch(*, compiled: bool = True) -> Side:
    """Time [s] of a thousand evaluations, from a batch of a hundred thousand."""
    case = designs(DESIGNS)
    return lambda: timed(lambda: operating_points(**case, compiled=compiled)) * 1000 / DESIGNS


def epanet() -> Side:
    """Time [s] of a thousand evaluations by EPANET in this process: the sizes and the curve of each design set in one
    loop, and its steady state to eight digits."""
    try:
        from epanet import toolkit
    except ImportError:
        reason = "owa-epanet has no wheel for this platform"

        def never() -> float:
            raise Unmeasured(reason)

        return never
    return lambda: _by_epanet(toolkit)


def _by_epanet(toolkit: Any) -> float:
    case = designs(BY_EPANET)
    sizes = ("static_m", "length_m", "inside_m", "loss_k", "shut_off_m", "exponent")
    rows = list(zip(*(case[name].tolist() for name in sizes), strict=True))
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "loop.inp").write_text(LOOP, encoding="ascii")
        project = toolkit.createproject()
        toolkit.open(project, *(f"{folder}/loop.{end}" for end in ("inp", "rpt", "out")))
        pipe, top = toolkit.getlinkindex(project, "R"), toolkit.getnodeindex(project, "TOP")
        pump, curve = toolkit.getlinkindex(project, "P"), toolkit.getcurveindex(project, "C")
        toolkit.openH(project)

        def every() -> None:
            for static, length, inside, loss_k, shut_off, exponent in rows:
                toolkit.setnodevalue(project, top, toolkit.ELEVATION, static)
                toolkit.setlinkvalue(project, pipe, toolkit.LENGTH, length)
                toolkit.setlinkvalue(project, pipe, toolkit.DIAMETER, 1000.0 * inside)
                toolkit.setlinkvalue(project, pipe, toolkit.MINORLOSS, loss_k)
                toolkit.setcurvevalue(project, curve, 1, 0.0, shut_off)
                toolkit.setcurvevalue(project, curve, 2, 5.0, shut_off * (1.0 - 0.5**exponent))
                toolkit.initH(project, toolkit.INITFLOW)
                toolkit.runH(project)
                toolkit.getlinkvalue(project, pump, toolkit.FLOW)
                toolkit.getlinkvalue(project, pump, toolkit.HEADLOSS)

        took = timed(every) * 1000 / BY_EPANET
        toolkit.closeH(project)
        toolkit.close(project)
        toolkit.deleteproject(project)
    return took
