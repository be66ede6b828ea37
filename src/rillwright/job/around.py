"""What an element of a feature belongs to: the values of these move what is found at it."""

from __future__ import annotations

from rillwright.assessment import Feature, Run

_EVERYWHERE = {"site": "site/whole", "liners": "liners/liner", "feature": "feature/whole"}


def around(feature: Feature, path: str) -> dict[str, str]:
    """One path of each collection, the element's own first: of a rim its pond, of a fall the bed above it, its run."""
    collection, _, id = path.partition(".")[0].partition("/")
    found = {collection: f"{collection}/{id}"}
    streams = [each for each in feature.streams if id in (each.id, *(link.id for link in each.links))]
    runs = [run for run in feature.runs if id in (run.id, run.source, run.outlet) or _pump(run) == id]
    bodies = [body for body in feature.bodies if id in (body.id, body.intake.id, *(rim.id for rim in body.rims))]
    if collection == "laps":
        at = next((lap.at for lap in feature.laps if lap.id == id), "")
        return found | {key: value for key, value in around(feature, at).items() if key not in found} if at else found
    if collection in ("streams", "reaches", "falls"):
        bodies, runs = [], []
    elif collection in ("runs", "pumps"):
        streams, bodies = [each for each in feature.streams for run in runs if run.outlet == each.id], []
    else:
        streams = []
    for stream in streams[:1]:
        links = [link.id for link in stream.links]
        before, after = (links.index(id) - 1, links.index(id) + 1) if id in links else (-1, len(links))
        beds, falls = {reach.id for reach in stream.reaches}, {fall.id for fall in stream.falls}
        for near in (links[before] if before >= 0 else "", links[after] if after < len(links) else ""):
            if near in beds:
                found.setdefault("reaches", f"reaches/{near}")
            if near in falls:
                found.setdefault("falls", f"falls/{near}")
        found.setdefault("streams", f"streams/{stream.id}")
        bodies = [feature.body(stream.into)]
        runs = [run for run in feature.runs if run.outlet in (stream.id, *links)]
    bodies = bodies or [feature.body(run.source) for run in runs[:1]]
    for body in bodies[:1]:
        found.setdefault("ponds", f"ponds/{body.id}")
        found.setdefault("intakes", f"intakes/{body.intake.id}")
        runs = runs or [run for run in feature.runs if run.source == body.id]
    for run in runs[:1]:
        found.setdefault("runs", f"runs/{run.id}")
        if pump := _pump(run):
            found.setdefault("pumps", f"pumps/{pump}")
    return found | {key: value for key, value in _EVERYWHERE.items() if key not in found}


def _pump(run: Run) -> str:
    return run.pump.id if run.pump is not None else ""
