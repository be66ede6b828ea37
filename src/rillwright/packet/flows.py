"""At which flow the water of a page runs, and how to tell a flow with a pail."""

from __future__ import annotations

from rillwright.assessment import Assessment, NotRun, Stream, Water
from rillwright.packet.say import Say
from rillwright.units import parse

_ALIKE = 0.02  # flows nearer to each other than this share are one [-]
_PAILS = {"us": (("5 gal", "5 US gal"), ("55 gal", "55 US gal")), "metric": (("10 L", "10 L"), ("200 L", "200 L"))}
_LEAST_S = 8.0  # a pail or barrel that is full sooner tells little; common practice, no source


def flow_of(assessment: Assessment, stream: Stream) -> str:
    """At which flow the water of a stream was worked out, and what runs once the valves are set; "" where none does."""
    span, how = flow_said(assessment, stream)
    return f"at {span}{how}" if span else ""


def flow_said(assessment: Assessment, stream: Stream) -> tuple[str, str]:
    """The same in two: the flow, and how its valves stand; nothing where none runs."""
    water = assessment.water
    if isinstance(water, NotRun):
        return "", ""
    say, falls = Say(assessment.feature.system), {fall.id for fall in stream.falls}
    found = [each.flow_m3s.value for each in water.crests if each.fall in falls]
    found += [wet.flow_m3s.value for reach in stream.reaches if (wet := water.wet(reach.id)) is not None]
    if not found or max(found) <= 0.0:
        return "", ""
    span = say.span(min(found), max(found), "m3/s")
    parts = assessment.feature.upstream_of(stream)
    ends = {part.id for part in parts} | {link.id for part in parts for link in part.links}
    fed = [out for out in water.circuit.outlets if out.outlet in ends]
    feeding = [pump for pump in water.circuit.pumps if pump.run in {out.run for out in fed}]
    if any(pump.proposed for pump in feeding):
        return span, ", the pump yet to be chosen"
    set_to = sum(out.set_m3s for out in fed)
    if set_to <= 0.0 or abs(set_to - max(found)) < _ALIKE * max(found):
        return span, ""
    foot = " at its foot" if min(found) < (1.0 - _ALIKE) * max(found) else ""
    so = _so_set(water, stream, say)
    return span, f", valves open; set as wished, {say.one(set_to, 'm3/s')}{foot}, {so}"


def _so_set(water: Water, stream: Stream, say: Say) -> str:
    """What stands on crests and beds once the valves are set."""
    so, beds, falls = water.as_set, {reach.id for reach in stream.reaches}, {fall.id for fall in stream.falls}
    over = [] if so is None else [each.depth_m for each in so.crests if each.fall in falls and each.flow_m3s > 0.0]
    on = [] if so is None else [each.depth_m for each in so.reaches if each.reach in beds and each.flow_m3s > 0.0]
    if not over or not on:
        return "it stands lower"
    crests = say.span(min(each.low for each in over), max(each.high for each in over), "m")
    deep = say.span(min(each.low for each in on), max(each.high for each in on), "m")
    return f"a head of {crests} on its crests, {deep} on its beds"


def pail(flow_m3s: float, system: str) -> str:
    """How long a pail, or a barrel where that is too quick, takes to fill: 5 gal in 72 s; "" where neither tells."""
    if flow_m3s <= 0.0:
        return ""
    for said, vessel in _PAILS[system]:
        takes_s = float(parse(vessel, "volume").si) / flow_m3s
        if takes_s >= _LEAST_S:
            return f"{said} in {Say(system).one(takes_s, 's')}"
    return ""
