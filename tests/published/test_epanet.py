"""The circuit against EPANET, live: a pond, a pump, a pipe with fittings, an outlet above.

EPANET's own gravity is 32.2 ft/s2 and its viscosity 1.1e-5 ft2/s; both are handed to ours, so that only the method
differs: Swamee-Jain on both sides, then Colebrook on ours.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from rillwright.hydraulics import (
    PumpCurve,
    darcy_weisbach,
    hazen_williams,
    minor_loss,
    operating_point,
    pipe_speed,
    pump_curve,
    reynolds_number,
)

toolkit: Any = pytest.importorskip("epanet.toolkit", reason="owa-epanet has no wheel for this platform")

FT = 0.3048
GRAVITY = 32.2 * FT
VISCOSITY = 1.1e-5 * FT**2


class Loop(NamedTuple):
    """Pump points [L/s, m], lift [m], pipe [m, mm, mm], sum of K [-]."""

    points: tuple[tuple[float, float], ...]
    lift_m: float
    length_m: float
    inside_mm: float
    roughness_mm: float
    loss_k: float

    def curve(self) -> PumpCurve:
        return pump_curve([(flow / 1000, head) for flow, head in self.points])

    def text(self, *, headloss: str, roughness: float) -> str:
        curve = "\n".join(f" C {flow:.10g} {head:.10g}" for flow, head in self.points)
        return f"""[RESERVOIRS]
 POND 0
 TOP {self.lift_m:.10g}
[JUNCTIONS]
 J 0 0
[PIPES]
 R J TOP {self.length_m:.10g} {self.inside_mm:.10g} {roughness:.10g} {self.loss_k:.10g} Open
[PUMPS]
 P POND J HEAD C
[CURVES]
{curve}
[OPTIONS]
 UNITS LPS
 HEADLOSS {headloss}
 ACCURACY 0.00000001
 TRIALS 200
[END]
"""


def _random_loop(seed: int) -> Loop:
    chance = random.Random(seed)
    shut_off, most = chance.uniform(4, 14), chance.uniform(1.5, 12)
    exponent = chance.uniform(1.5, 2.5)
    flows = (0.0, most * chance.uniform(0.4, 0.6), most)
    return Loop(
        points=tuple((flow, shut_off * (1 - (flow / most) ** exponent)) for flow in flows),
        lift_m=shut_off * chance.uniform(0.15, 0.7),
        length_m=chance.uniform(5, 60),
        inside_mm=chance.choice((40.39, 51.99, 77.27, 101.55)),
        roughness_mm=chance.choice((0.0015, 0.0015, 0.01, 0.05)),
        loss_k=chance.uniform(1, 12),
    )


class Solved(NamedTuple):
    flow_m3s: float
    pump_head_m: float


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.chdir(tmp_path)  # EPANET keeps a file of its own where it is called
    handle = toolkit.createproject()
    yield handle
    toolkit.deleteproject(handle)


def _epanet(project: Any, folder: Path, text: str) -> Solved:
    (folder / "loop.inp").write_text(text, encoding="ascii")
    toolkit.open(project, str(folder / "loop.inp"), str(folder / "loop.rpt"), str(folder / "loop.out"))
    toolkit.solveH(project)
    pump = toolkit.getlinkindex(project, "P")
    flow = toolkit.getlinkvalue(project, pump, toolkit.FLOW)
    head = -toolkit.getlinkvalue(project, pump, toolkit.HEADLOSS)
    toolkit.close(project)
    return Solved(flow / 1000, head)


def _ours(loop: Loop, method: str) -> Solved:
    point = operating_point(
        loop.curve(),
        loop.lift_m,
        lambda flow: (
            darcy_weisbach(
                flow,
                inside_m=loop.inside_mm / 1000,
                length_m=loop.length_m,
                roughness_m=loop.roughness_mm / 1000,
                loss_k=loop.loss_k,
                viscosity_m2s=VISCOSITY,
                gravity_ms2=GRAVITY,
                method=method,
            ).loss_m
        ),
    )
    return Solved(point.flow_m3s, point.head_m)


BASE = Loop(((0, 8), (5, 6), (10, 0)), 3.0, 30.0, 77.9, 0.0015, 6.0)


@pytest.mark.parametrize("seed", range(12))
def test_random_loops(seed: int, project: Any, tmp_path: Path) -> None:
    """Within 0.1 % with Swamee-Jain on both sides, 1 % with Colebrook on ours."""
    loop = _random_loop(seed)
    epanet = _epanet(project, tmp_path, loop.text(headloss="D-W", roughness=loop.roughness_mm))
    assert epanet.flow_m3s > 0
    assert _ours(loop, "Swamee-Jain") == pytest.approx(epanet, rel=1e-3)
    assert _ours(loop, "Colebrook") == pytest.approx(epanet, rel=1e-2)


def test_the_base_loop_by_hazen_williams(project: Any, tmp_path: Path) -> None:
    """C 150, K 6: EPANET 2.2 gave 6.76858 L/s at 4.33491 m when the row was computed."""
    epanet = _epanet(project, tmp_path, BASE.text(headloss="H-W", roughness=150))
    assert (epanet.flow_m3s * 1000, epanet.pump_head_m) == pytest.approx((6.76858, 4.33491), rel=1e-5)

    def loss(flow: float) -> float:
        along = hazen_williams(flow, inside_m=0.0779, length_m=30, coefficient=150)
        return along + minor_loss(pipe_speed(flow, 0.0779), 6, gravity_ms2=GRAVITY)

    ours = operating_point(BASE.curve(), 3.0, loss)
    assert (ours.flow_m3s, ours.head_m) == pytest.approx(epanet, rel=1e-4)


def test_slow_flow_between_laminar_and_turbulent(project: Any, tmp_path: Path) -> None:
    """A weak pump in a wide pipe: Dunlop's cubic on both sides."""
    loop = Loop(((0, 3.2), (0.12, 3.05), (0.24, 2.6)), 3.0, 60.0, 51.99, 0.0015, 6.0)
    ours = _ours(loop, "Swamee-Jain")
    reynolds = reynolds_number(pipe_speed(ours.flow_m3s, 0.05199), 0.05199, viscosity_m2s=VISCOSITY)
    assert 2000 < reynolds < 4000
    epanet = _epanet(project, tmp_path, loop.text(headloss="D-W", roughness=0.0015))
    assert ours == pytest.approx(epanet, rel=1e-3)


def test_lift_above_shut_off(project: Any, tmp_path: Path) -> None:
    """8.1 m of lift against 8.0 m of shut-off head: no flow on both sides."""
    loop = BASE._replace(lift_m=8.1)
    with pytest.warns(Warning, match="WARNING"):  # that its pump cannot deliver the head
        epanet = _epanet(project, tmp_path, loop.text(headloss="D-W", roughness=0.0015))
    assert epanet.flow_m3s == pytest.approx(0, abs=1e-8)
    assert _ours(loop, "Colebrook").flow_m3s == 0.0
