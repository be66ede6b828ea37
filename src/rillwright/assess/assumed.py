"""Named defaults that the layers themselves read: no field of the feature file sets them."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from rillwright.assessment import BodyKind, DefaultUsed, FallKind, Feature, NotRun, Survey
from rillwright.shape import Surface
from rillwright.sources import default


def _always(_: Feature) -> bool:
    return True


def _streams(feature: Feature) -> bool:
    return bool(feature.streams)


def _with_islands(feature: Feature) -> bool:
    return any(reach.islands for reach in feature.reaches)


def _no_streams(feature: Feature) -> bool:
    return not feature.streams


def _falls(feature: Feature) -> bool:
    return bool(feature.falls)


def _no_falls(feature: Feature) -> bool:
    return not feature.falls


def _unsealed(feature: Feature) -> bool:
    return any(not fall.sealed for fall in feature.falls)


def _stacked(feature: Feature) -> bool:
    return any(fall.kind is FallKind.STACKED for fall in feature.falls)


def _slides(feature: Feature) -> bool:
    return any(fall.kind is FallKind.SLIDE for fall in feature.falls)


def _said_stones(feature: Feature) -> bool:
    return any(fall.stone_said for fall in feature.falls)


def _unsaid_stones(feature: Feature) -> bool:
    return any(not fall.stone_said for fall in feature.falls)


def _faces(feature: Feature) -> bool:
    return any(fall.drop_m > 0.0 for fall in feature.falls)


def _runs(feature: Feature) -> bool:
    return bool(feature.runs)


def _fed(feature: Feature) -> bool:
    return bool(feature.streams and feature.runs)


def _boxes(feature: Feature) -> bool:
    return any(run.pump is not None and run.pump.two_numbers for run in feature.runs)


def _pumped(feature: Feature) -> bool:
    return any(run.pump is not None for run in feature.runs)


def _ponds(feature: Feature) -> bool:
    return any(body.kind is BodyKind.POND for body in feature.bodies)


def _reservoirs(feature: Feature) -> bool:
    return any(body.kind is not BodyKind.POND for body in feature.bodies)


def _metered(feature: Feature) -> bool:
    return bool(feature.filled)


def _no_months(feature: Feature) -> bool:
    return not feature.climate.months


def _overflows(feature: Feature) -> bool:
    return feature.climate.rain_m is not None and any(body.overflow is not None for body in feature.bodies)


def _notches(feature: Feature) -> bool:
    return any(body.overflow is not None and body.overflow.pipe_m is None for body in feature.bodies)


def _edges(feature: Feature) -> bool:
    return _ponds(feature) or _streams(feature)


def _gravel(feature: Feature) -> bool:
    beds = any(reach.gravel_m > 0.0 for reach in feature.reaches)
    return _streams(feature) or beds or _reservoirs(feature) or any(body.gravel_m > 0.0 for body in feature.bodies)


def _rims(feature: Feature) -> bool:
    return any(body.rims for body in feature.bodies)


def _no_rims(feature: Feature) -> bool:
    return any(not body.rims for body in feature.bodies)


def _settles_unsaid(feature: Feature) -> bool:
    """Whether no earlier step asks how much fill settles."""
    return not _streams(feature) and not _no_rims(feature)


def _soil_unnamed(feature: Feature) -> bool:
    return feature.site.soil == "unknown"


def _in_feet(feature: Feature) -> bool:
    return feature.system == "us"


def _in_metres(feature: Feature) -> bool:
    return feature.system == "metric"


def _feet_unknown(feature: Feature) -> bool:
    return any(building.base is None for building in feature.site.buildings)


def _trees(feature: Feature) -> bool:
    return bool(feature.site.trees)


class Assumed(Struct, frozen=True):
    """Names of defaults that a step reads, and of which features."""

    names: tuple[str, ...]
    of: Callable[[Feature], bool] = _always


ASSUMED: dict[str, tuple[Assumed, ...]] = {
    "shape": (Assumed(("liner.held",), _streams), Assumed(("filled.believed",), _metered)),
    "surface": (
        Assumed(("rim.every", "ground.near", "ground.uneven", "level.sigma_guessed")),
        Assumed(("earth.bank_side", "pond.settlement"), _streams),
        Assumed(("rim.berm_spare", "pond.settlement", "level.sigma_planned"), _no_rims),
    ),
    "water": (
        Assumed(("narrow.contraction", "narrow.expansion"), _with_islands),
        Assumed(("gravel.porosity", "blocked.width_share", "blocked.leaf_dam", "transit.band")),
        Assumed(("gravel.d84",), _streams),
        Assumed(("flow.quiet", "flow.lively", "flow.loud"), _falls),
        Assumed(("pump.duty_factor", "pipe.fittings_k", "pipe.roughness", "pipe.roughness_in_use"), _runs),
        Assumed(("water.temperature",), _runs),
        Assumed(("pump.worn", "intake.dirty_open", "water.cold"), _pumped),
        Assumed(("pump.exponent",), _boxes),
        Assumed(("pump.efficiency",), _runs),
        Assumed(("pump.hours_per_day", "climate.dry_spell", "climate.splash")),
        Assumed(("climate.dry_day",), _no_months),
        Assumed(("silt.caught", "silt.fine", "silt.water", "silt.left")),
        Assumed(("climate.rain_peak",), _overflows),
        Assumed(("crest.c", "crest.thin", "crest.joint", "splash.on_stone", "splash.in_water"), _falls),
        Assumed(("liner.held", "earth.bank_side"), _falls),
        Assumed(("crest.course",), _stacked),
        Assumed(("crest.slide_n",), _slides),
        Assumed(("stream.grain", "crest.roughness"), _unsealed),
    ),
    "over_time": (
        Assumed(("crest.c",), _no_falls),
        Assumed(("over_time.cell", "over_time.grit", "over_time.steady", "over_time.runs"), _fed),
        Assumed(("over_time.longest", "over_time.leak", "over_time.power_cut", "over_time.cut_off"), _fed),
    ),
    "liner": (
        Assumed(("liner.order_us",), _in_feet),
        Assumed(("liner.order_metric",), _in_metres),
        Assumed(("liner.stream_spare",), _streams),
        Assumed(("underlay.pad",), _streams),
        Assumed(("stone.spill_bearing",), _falls),
        Assumed(("stone.face_thickness",), _faces),
        Assumed(("rim.berm_spare",), _no_rims),
    ),
    "containment": (
        Assumed(("rim.berm_spare",), _rims),
        Assumed(("earth.berm_crest",)),
        Assumed(("climate.rain_peak",), _overflows),
        Assumed(("crest.c",), _notches),
        Assumed(
            ("pond.settlement", "spill.reach", "spill.beside", "spill.hollow", "ground.uneven", "level.sigma_setup")
        ),
    ),
    "odds": (Assumed(("odds.samples", "odds.placed", "odds.length", "odds.settlement", "level.sigma_setup")),),
    "stone": (
        Assumed(("stone.edge_low", "stone.edge_high", "stone.edge_size"), _edges),
        Assumed(("stone.face_thickness", "stone.face_voids", "stone.density"), _falls),
        Assumed(("stone.spill_bearing",), _falls),
        Assumed(("stone.spill_low", "stone.spill_high"), _unsaid_stones),
        Assumed(("stone.spill_tolerance",), _said_stones),
        Assumed(("stone.box_low", "stone.box_high", "stone.box_slab"), _falls),
        Assumed(("stone.blocks_from",), _reservoirs),
        Assumed(("gravel.density",), _gravel),
    ),
    "earth": (
        Assumed(("earth.berm_crest", "earth.berm_side", "earth.bank_side", "earth.truck")),
        Assumed(("earth.shrink",), _soil_unnamed),
        Assumed(("footing.shallowest",), _feet_unknown),
        Assumed(("tree.trunks", "tree.root_most"), _trees),
    ),
    "takeoff": (Assumed(("earth.swell",), _soil_unnamed),),
    "build": (),
    "price": (
        Assumed(("crew.hours", "pump.compared_years")),
        Assumed(("pump.hours_per_day",), _runs),
    ),
    "finished": (
        Assumed(("earth.berm_crest", "earth.berm_side", "earth.truck")),
        Assumed(("earth.shrink",), _soil_unnamed),
        Assumed(("pond.settlement",), _settles_unsaid),
        Assumed(("earth.bank_side",), _no_streams),  # else it is the edge's that runs by it
    ),
    "spilt": (),
}
OF_BOOKS = ("survey.rule", "survey.sight", "survey.few_shots", "level.sigma_shot")


def assumed(feature: Feature, surveyed: Survey | NotRun, made: Iterable[str]) -> tuple[DefaultUsed, ...]:
    """The defaults that the books and the steps that were `made` took from the tables, each once, by the first taker.

    Their path is `survey/...` or the step's name before the default's.
    """
    found: dict[str, DefaultUsed] = {}
    if not isinstance(surveyed, NotRun):
        for name in _of_books(surveyed):
            found[name] = _used("survey", name)
    for step in made:
        for group in ASSUMED[step]:
            if group.of(feature):
                for name in group.names:
                    found.setdefault(name, _used(step, name))
    return tuple(found.values())


def assumed_of_ground(surface: Surface | NotRun, *, files: bool) -> tuple[DefaultUsed, ...]:
    """The defaults by which `files` of ground were held against the job, and two levels of one place taken for one."""
    if isinstance(surface, NotRun):
        return ()
    names = (*(("ground.amiss",) if files else ()), *(("ground.agree",) if surface.ground_agreed else ()))
    return tuple(_used("surface", name) for name in names)


def _of_books(surveyed: Survey) -> tuple[str, ...]:
    unmeasured = any(loop.length_m is None for loop in surveyed.loops)
    return tuple(name for name in OF_BOOKS if name != "survey.sight" or unmeasured)


def _used(step: str, name: str) -> DefaultUsed:
    entry = default(name)
    return DefaultUsed(path=f"{step}/{name}", default=name, value=entry.value, unit=entry.unit, source=entry.source)
