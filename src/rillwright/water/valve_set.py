"""Valves set so that every outlet gets what is wanted there, and the water that runs then."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from rillwright.feature import Feature
from rillwright.hydraulics import Branch, ValveSettings, station_head, valve_settings
from rillwright.shape import Shape
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.crests import water_depth
from rillwright.water.network import link_flows
from rillwright.water.reaches import reach_bands
from rillwright.water.result import SetCrest, SetReach, SetWater
from rillwright.water.run import Lifts, PipedRun
from rillwright.water.settled import Settled, at_flows

_MOST_ROUNDS = 8  # where a pump falls short and its share moves with the lift; the rest needs one
_AGREED = 1e-6  # of a flow


class ValvesSet(Struct, frozen=True, kw_only=True):
    """The settings of each run's valves, by its id, and what follows once all are so set. None: nothing to set."""

    settings: Mapping[str, ValveSettings | None]
    after: Settled


def set_valves(feature: Feature, shape: Shape, found: Settled) -> ValvesSet:
    """The settings at which every end gets the flow wanted there, or the same share of it, against the lifts that are
    there once it does: less flow stands lower at the outlets.

    After eight rounds the last share is taken: by then it moves by less than its own band by far.
    """
    settings: dict[str, ValveSettings | None] = {}
    shares = {run.run.id: 1.0 for run in found.runs}
    after = found
    for _ in range(_MOST_ROUNDS):
        flows = dict(found.ends_m3s)
        for run in (each for each in found.runs if _can_be_set(each)):
            flows |= {end.key: shares[run.run.id] * end.wanted_m3s for end in run.run.ends}
        after = at_flows(feature, shape, found, flows)
        settings = {run.run.id: _settings(run, after.lifts_of(run)) for run in found.runs}
        following = {id: 1.0 if each is None else each.share for id, each in settings.items()}
        moved = max((abs(share - shares[id]) for id, share in following.items()), default=0.0)
        shares = following
        if moved < _AGREED:
            break
    return ValvesSet(settings=settings, after=after)


def _can_be_set(run: PipedRun) -> bool:
    return run.run.pump is not None and all(end.wanted_m3s > 0.0 for end in run.run.ends)


def _settings(run: PipedRun, lifts: Lifts) -> ValveSettings | None:
    said = run.run
    if not _can_be_set(run):
        return None
    curves = run.curves()

    def head_at(flow: float) -> float:
        return station_head(curves, flow, arrangement=said.arrangement) - run.loss_m(flow)

    if not said.outlets:
        branches = [
            Branch(
                id=said.id,
                wanted_m3s=said.wanted_m3s,
                level_m=lifts[said.id],
                inside_m=run.pipe.inside_m,
                loss=lambda flow: 0.0,
            )
        ]
    else:
        branches = [
            Branch(
                id=end.key,
                wanted_m3s=end.wanted_m3s,
                level_m=lifts[end.key],
                inside_m=run.outlet_pipes[n].inside_m,
                loss=lambda flow, n=n: run.outlet_loss_m(n, flow),  # type: ignore[misc]
            )
            for n, end in enumerate(said.ends)
        ]
    return valve_settings(head_at, branches)


def set_water(feature: Feature, found: ValvesSet) -> SetWater | None:
    """Water on crests and beds once the valves are so set: at just the flows wanted, so that only crests, gravel and
    roughness make a band. None where no valve is to be set."""
    if not any(found.settings.values()):
        return None
    links = {id: Band.exact(flow) for id, flow in link_flows(feature, found.after.ends_m3s).items()}
    bands = reach_bands(found.after.places, links, speeds=False)
    over = {fall.id: links[fall.id] for fall in feature.falls}
    for band in bands.values():
        crest = band.place.crest
        if crest is not None and band.place.reach.downstream == crest.upstream:
            over[crest.id] = band.crest_flow_m3s
    return SetWater(
        crests=tuple(
            SetCrest(
                fall=fall.id,
                path=f"falls/{fall.id}",
                flow_m3s=over[fall.id].value,
                depth_m=water_depth(feature, stream, fall, over[fall.id]),
            )
            for stream in feature.streams
            for fall in stream.falls
        ),
        reaches=tuple(
            SetReach(
                reach=id,
                path=f"reaches/{id}",
                flow_m3s=band.usual.flow_m3s,
                depth_m=band_of(band.usual.mean_depth_m, *(each.mean_depth_m for each in band.others)),
            )
            for id, band in bands.items()
        ),
    )
