"""Whether the water that is pumped comes back to where it is drawn, and as fast."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rillwright.feature import Feature

_HAIR = 1e-3  # of what runs in: below that the two are alike


def astray(feature: Feature, ends_m3s: Mapping[str, float]) -> Iterator[tuple[str, str]]:
    """Path and note of each run whose water does not come back, and of each body that keeps what runs in.

    `ends_m3s` is the flow of each end of a run [m3/s].
    """
    for run in feature.runs:
        if any(run.source not in _reached(feature, end.outlet) for end in run.ends):
            yield f"runs/{run.id}", f"the water does not come back to {run.source}"
    for body, (ins, outs) in _through(feature, ends_m3s).items():
        if ins - outs > _HAIR * ins and outs > 0.0:
            share = f"{(ins - outs) / ins:.0%}".replace("%", " %")
            yield f"ponds/{body}", f"the water does not come back as fast as it comes: {share} of it stays there"


def _body_below(feature: Feature, outlet: str) -> str:
    """The body into which an outlet lets its water, by the stream where it lies on one."""
    for stream in feature.streams:
        if outlet in (stream.id, *(reach.id for reach in stream.reaches)):
            return stream.into
    return outlet


def _reached(feature: Feature, outlet: str) -> set[str]:
    """The bodies that water of an outlet comes to: by streams, and by pumps that draw from where it ends."""
    into = {_body_below(feature, outlet)}
    for _ in feature.bodies:
        into |= {stream.into for stream in feature.streams if stream.links[0].upstream in into}
        into |= {_body_below(feature, end.outlet) for run in feature.runs if run.source in into for end in run.ends}
    return into


def _through(feature: Feature, ends_m3s: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """What runs into a body and is drawn from it [m3/s], of the bodies that are both filled and drawn from by pumps.

    A body from which a stream starts lets what is too much run on: it keeps nothing.
    """
    spilling = {stream.links[0].upstream for stream in feature.streams}
    found = {body.id: (0.0, 0.0) for body in feature.bodies if body.id not in spilling}
    for run in feature.runs:
        for end in run.ends:
            flow, below = ends_m3s[end.key], _body_below(feature, end.outlet)
            for _ in feature.streams:  # what a full body lets on
                below = next((each.into for each in feature.streams if each.links[0].upstream == below), below)
            if below in found:
                found[below] = (found[below][0] + flow, found[below][1])
            if run.source in found:
                found[run.source] = (found[run.source][0], found[run.source][1] + flow)
    return found
