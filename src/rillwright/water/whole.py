"""All the water of a feature."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rillwright.errors import InputError
from rillwright.feature import Feature, Holding, Run
from rillwright.shape import Shape
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.astray import astray
from rillwright.water.balance import balance, pond_water
from rillwright.water.bands import band_of
from rillwright.water.circuit import RunPlace, circuit
from rillwright.water.clearing import clearing, metered
from rillwright.water.crests import crest_waters
from rillwright.water.highest import highest_waters
from rillwright.water.joints import landing_depths_m
from rillwright.water.landing import landings, splashes
from rillwright.water.look import stream_looks
from rillwright.water.losses import losses
from rillwright.water.moving import impacts
from rillwright.water.network import link_flows, unfed
from rillwright.water.rain import rain_on, way_out
from rillwright.water.reaches import ReachBand, reach_bands, reach_water
from rillwright.water.result import Circuit, CrestWater, ReachWater, Water
from rillwright.water.settled import Settled, settle
from rillwright.water.stream_result import Impact
from rillwright.water.transit import siphons, transit_by_body
from rillwright.water.valve_set import set_valves, set_water

NO_RAIN = "design rain: no climate says how much"
NO_SUPPLY = "top-up stuck open: the flow of the supply is not said"
NO_WAY = "top-up stuck open: no overflow lets it out"


def water(feature: Feature, shape: Shape) -> Water:
    """Circuit, crests, reaches, balances and highest water of a feature.

    Raises
    ------
    InputError
        If there is no body, or a pump's curve cannot be used.
    NoAnswer
        If flow and levels do not settle.
    """
    if not feature.bodies:
        raise InputError("water: the feature has no pond and no reservoir")
    settled = settle(feature, shape)
    valves = set_valves(feature, shape, settled)
    loop = circuit(
        settled.runs,
        settled.lifts_m,
        settled.outlets_m,
        duty_lifts_m=settled.duty_lifts_m,
        places={run.id: _place(feature, settled, run) for run in feature.runs},
        settings=valves.settings,
    )
    links = _link_bands(feature, loop)
    bands = reach_bands(settled.places, links)
    blocked = reach_bands(settled.places, links, open_share=default("blocked.width_share").number)
    dammed = reach_bands(settled.places, links, dam_m=default("blocked.leaf_dam").number)
    reaches = {id: reach_water(band) for id, band in bands.items()}
    balances = {body.id: balance(body, shape.pond(body.id), settled.transit_m3[body.id]) for body in feature.bodies}
    crests = crest_waters(
        feature,
        _crest_flows(feature, links, bands),
        reaches,
        {id: each.running_level_m for id, each in balances.items()},
        arriving=links,
    )
    places = landings(
        feature,
        crests,
        depths=landing_depths_m(feature, reaches),
        running={id: each.running_level_m for id, each in balances.items()},
    )
    landed = impacts(feature, crests, places)
    flows = _through(feature, settled)
    ponds = {body.id: pond_water(body, shape.pond(body.id), flows[body.id]) for body in feature.bodies}
    sink = sink_of(feature)
    shapes = {body.id: shape.pond(body.id) for body in feature.bodies}
    rains = {body.id: rain for body in feature.bodies if (rain := rain_on(feature, body, shapes[body.id])) is not None}
    return Water(
        circuit=loop,
        crests=crests,
        reaches=tuple(reaches.values()),
        pond=ponds[sink],
        balance=balances[sink],
        ponds=tuple(ponds.values()),
        balances=tuple(balances.values()),
        highest=highest_waters(
            feature,
            shape,
            transit_m3=settled.transit_m3,
            blocked_transit_m3=transit_by_body(
                feature, settled.places, {id: band.usual for id, band in blocked.items()}, settled.runs
            ),
            reaches=bands,
            blocked=blocked,
            dammed=dammed,
            rains=rains,
        ),
        cases_not_run=tuple(_not_run(feature, rained=bool(rains))),
        losses=tuple(losses(feature, body, shapes[body.id], flows[body.id]) for body in feature.bodies),
        rains=tuple(rains.values()),
        ways_out=tuple(
            way_out(
                feature,
                body,
                shapes[body.id],
                stopped=balances[body.id].topped_up_stop_level_m,
                rain=rains.get(body.id),
            )
            for body in feature.bodies
        ),
        clearings=tuple(
            found for body in feature.bodies if (found := clearing(body, shapes[body.id], flows[body.id])) is not None
        ),
        metered=metered(feature, shapes),
        looks=stream_looks(feature, {crest.fall: crest for crest in crests}, links),
        impacts=landed,
        splashes=splashes(feature, crests, places),
        siphons=siphons(feature, settled.places),
        unfed=unfed(feature),
        as_set=set_water(feature, valves),
        out_of_range=tuple(
            dict.fromkeys(
                [
                    *_out_of_range(feature, settled),
                    *_noted(reaches.values()),
                    *_noted(crests),
                    *_noted(landed),
                ]
            )
        ),
    )


def _not_run(feature: Feature, *, rained: bool) -> Iterator[str]:
    """Cases of the highest water that cannot be worked out from what was said."""
    if not rained:
        yield NO_RAIN
    topped = feature.supply.float_valve or any(body.holding is Holding.WHILE_RUNNING for body in feature.bodies)
    if feature.supply.hose_m3s is None:
        if topped:
            yield NO_SUPPLY
    elif any(body.overflow is None for body in feature.bodies):
        yield NO_WAY


def _place(feature: Feature, settled: Settled, run: Run) -> RunPlace:
    return RunPlace(
        body=feature.body(run.source),
        running_m=settled.running_m[run.source],
        elevation_m=feature.climate.elevation_m,
        system=feature.system,
    )


def sink_of(feature: Feature) -> str:
    """The body from which the pumps draw most; without a run, the one that the first stream runs into."""
    wanted = {body.id: 0.0 for body in feature.bodies}
    for run in feature.runs:
        wanted[run.source] += run.wanted_m3s
    if any(wanted.values()):
        return max(wanted, key=lambda id: wanted[id])
    return feature.streams[0].into if feature.streams else feature.bodies[0].id


def _link_bands(feature: Feature, loop: Circuit) -> dict[str, Band]:
    """Flow of every link with its band [m3/s]: all runs low, as taken, all high."""
    keys = [end.key for run in feature.runs for end in run.ends]
    flows = {key: out.flow_m3s for key, out in zip(keys, loop.outlets, strict=True)}
    value = link_flows(feature, {key: flow.value for key, flow in flows.items()})
    low = link_flows(feature, {key: flow.low for key, flow in flows.items()})
    high = link_flows(feature, {key: flow.high for key, flow in flows.items()})
    return {id: band_of(value[id], low[id], high[id]) for id in value}


def _crest_flows(feature: Feature, links: Mapping[str, Band], bands: Mapping[str, ReachBand]) -> dict[str, Band]:
    """Flow over every crest [m3/s]: what the reach above it brings up, or all that its link carries."""
    found = {fall.id: links[fall.id] for fall in feature.falls}
    for band in bands.values():
        crest = band.place.crest
        if crest is not None and band.place.reach.downstream == crest.upstream:
            found[crest.id] = band.crest_flow_m3s
    return found


def _through(feature: Feature, settled: Settled) -> dict[str, float]:
    """Flow drawn from each body [m3/s]."""
    found = {body.id: 0.0 for body in feature.bodies}
    for run in feature.runs:
        found[run.source] += settled.flows_m3s[run.id]
    return found


def _noted(found: Iterable[ReachWater | CrestWater | Impact]) -> Iterator[str]:
    """'path: what is outside which range' of each, once."""
    for each in found:
        yield from (f"{each.path}: {note}" for note in each.notes)


def _out_of_range(feature: Feature, settled: Settled) -> list[str]:
    """'path: what is outside which range' of the runs, and what does not come back."""
    notes = [(f"runs/{run.run.id}", run.flow(settled.lifts_of(run)).outside) for run in settled.runs]
    notes += list(astray(feature, settled.ends_m3s))
    return [f"{path}: {note}" for path, note in notes if note]
