"""What stands and lies beside a dig, and soil that is left or lacking, for the rules on them.

12 trunk diameters: BS 5837:2012; 24 in each side of a mark: US one-call rules; 12 in to the foot of a footing: IRC
R403.1.4; all from memory. Nothing dug below 1 to 1 from a footing, 12 in of ground over a service: common practice, no
source.
"""

from __future__ import annotations

from typing import Any

from rillwright.assessment import FootingClearance, GroundGap, ServiceCrossing, Services, Severity, TreeClearance
from tests.findings.sample import metres

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
Case = tuple[str, dict[str, Any], Severity]


def bears(typed: str, *, kind: str = "footings", at_best: str = "") -> dict[str, Any]:
    best = metres(at_best) if at_best else None
    clear = FootingClearance(footing="f1", kind=kind, path="ponds/pond", clearance_m=metres(typed), at_best_m=best)
    return {"earth.clearances": (clear,)}


def tree(distance: str, trunk: str = "12 in") -> dict[str, Any]:
    found = TreeClearance(
        tree="oak", path="ponds/pond", distance_m=metres(distance), trunk_m=metres(trunk), root_m=12 * metres(trunk)
    )
    return {"earth.trees": (found,)}


def service(away: str = "0 in", over: str | None = None, *, crosses: bool = False) -> dict[str, Any]:
    found = ServiceCrossing(
        service="g1",
        kind="gas",
        path="streams/rill",
        distance_m=metres(away),
        at=(1.0, 2.0) if crosses else None,
        station_m=metres("3 ft") if crosses else None,
        dig_m=-0.3 if crosses else None,
        over_m=None if over is None else metres(over),
    )
    return {"earth.services": (found,)}


def gap(from_m: float, to_m: float, *, head: bool = True) -> dict[str, Any]:
    return {"earth.gaps": (GroundGap(stream="rill", from_m=from_m, to_m=to_m, head_known=head),)}


EARTH_CASES: tuple[Case, ...] = (
    ("dig.footing", bears("0 in"), OK),
    ("dig.footing", bears("-2 in"), STOP),
    ("dig.footing", bears("-2 in", kind="paving"), STOP),
    ("dig.footing", bears("3 in", kind="buildings", at_best="15 in"), OK),
    ("dig.footing", bears("-2 in", kind="buildings", at_best="10 in"), WATCH),
    ("dig.footing", bears("-14 in", kind="buildings", at_best="-2 in"), STOP),
    ("dig.tree", tree("12 ft"), OK),
    ("dig.tree", tree("11 ft"), WATCH),
    ("dig.tree", tree("2 ft 11 in"), STOP),
    ("dig.service", service("24 in"), OK),
    ("dig.service", service("20 in"), WATCH),
    ("dig.crossing", service(over="12 in", crosses=True), OK),
    ("dig.crossing", service(over="5 in", crosses=True), WATCH),
    ("dig.crossing", service(over="-1 in", crosses=True), STOP),
    ("dig.crossing", service(crosses=True), STOP),
    ("dig.services", {}, OK),
    ("dig.services", {"feature.site.services": None}, STOP),
    ("dig.services", {"feature.site.services": Services(note="nobody has looked yet")}, WATCH),
    ("dig.services", {"feature.site.services": Services(located=False, note="asked for")}, STOP),
    ("dig.services", {"feature.site.services": Services(located=True, on="2026-05-06")}, WATCH),
    ("dig.services", {"feature.site.services": Services(located=True, on="2026-05-06", ticket="A-1")}, OK),
    ("dig.side", {"earth.digs.0.soil_up_per_across": 1 / 1.5, "feature.site.soil": "sand"}, WATCH),
    ("earth.spoil", {"feature.site.spoil": None}, WATCH),
    ("earth.spoil", {"feature.site.spoil": "behind the hedge"}, OK),
    ("earth.brought", {}, OK),
    ("earth.brought", {"earth.brought_in_m3": 1.5}, WATCH),
    ("earth.runoff", {}, WATCH),
    ("liner.gas", {"feature.site.soil": "fill"}, WATCH),
    ("liner.gas", {"earth.groundwater_above_floor_m": 0.1}, WATCH),
    ("bed.unread", gap(0.0, 1e3), WATCH),
    ("bed.unread", gap(0.0, 1e3, head=False), WATCH),
    ("bed.unread", gap(1.0, 3.0), WATCH),
)
