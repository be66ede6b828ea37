"""Pumps, completed: curve, speed, what its maker says of it."""

from __future__ import annotations

from itertools import pairwise

from rillwright.feature.filling import Filling
from rillwright.feature.model_runs import Pump
from rillwright.feature.resolve import Levels
from rillwright.feature.schema_runs import PumpSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default


def pump(said: PumpSaid, id: str, location: Location, *, levels: Levels, path: str) -> Pump | None:
    """One pump, with `id` unless it has its own; None, and a problem, if its curve cannot be one."""
    filling = levels.filling
    if said.box is not None:
        curve: tuple[tuple[float, float], ...] = ((0.0, said.box.shut_off.si), (said.box.greatest_flow.si, 0.0))
    else:
        assert said.curve is not None
        curve = tuple((point[0].si, point[1].si) for point in said.curve)
        for index, (left, right) in enumerate(pairwise(curve)):
            if right[0] <= left[0] or right[1] >= left[1]:
                filling.wrong(
                    (*location, "curve", index + 1),
                    "a pump curve goes to more flow and less head from point to point",
                    found=" at ".join(q.text for q in said.curve[index + 1]),
                    allowed="flow rising, head falling",
                )
                return None
    if said.watts is None:
        filling.number("pump.efficiency", f"{path}.watts")
    spread, flow_spread = _spread(said, levels.filling, f"{path}.spread")
    preferred = (said.preferred[0].si, said.preferred[1].si) if said.preferred else None
    return Pump(
        id=said.id or id,
        curve=curve,
        two_numbers=said.box is not None,
        watts=said.watts.si if said.watts else None,
        efficiency=default("pump.efficiency").band,
        proposed=False,
        speed=said.speed.si if said.speed else 1.0,
        spread=spread,
        flow_spread=flow_spread,
        preferred_m3s=preferred,
        npsh_m=said.npsh.si if said.npsh else None,
    )


def _spread(said: PumpSaid, filling: Filling, path: str) -> tuple[float, float]:
    """Of the maker's curve, as shares of its head and flow [-]: the head's as typed, or what a test lets pass."""
    if said.spread is not None:
        return said.spread.si, 0.0
    return filling.number("pump.head_tolerance", path), filling.number("pump.flow_tolerance", path)


def run_pumps(
    one: PumpSaid | None, many: list[PumpSaid] | None, run: str, location: Location, *, levels: Levels
) -> tuple[Pump, ...]:
    """The pumps of a run, whether it says one or a list."""
    if many is None:
        rows = [] if one is None else [(one, (*location, "pump"), f"{run}-pump", f"runs/{run}.pump")]
    else:
        rows = [
            (said, (*location, "pumps", n), f"{run}-pump{n + 1}", f"runs/{run}.pumps.{said.id or n + 1}")
            for n, said in enumerate(many)
        ]
    found = [pump(said, id, at, levels=levels, path=path) for said, at, id, path in rows]
    ids = [each.id for each in found if each is not None]
    for n, id in enumerate(ids):
        if id in ids[:n]:
            levels.filling.wrong(rows[n][1], "this id is used twice", found=id, allowed="an id once")
    return tuple(each for each in found if each is not None)


def listed_pumps(said: list[PumpSaid], *, levels: Levels) -> tuple[Pump, ...]:
    """The person's own list of pumps, to be tried on every run."""
    found = [
        pump(each, f"listed{n + 1}", ("pump_list", n), levels=levels, path=f"pump_list.{each.id or n + 1}")
        for n, each in enumerate(said)
    ]
    return tuple(each for each in found if each is not None)
