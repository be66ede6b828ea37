"""Levels of ground to a surface of triangles: levels anywhere, contours, sections, volumes."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.ground.agreeing import Agreed
from rillwright.ground.data import GroundData, GroundLine, LineRole, Names, joined
from rillwright.ground.finder import Bins, bins_of, levels_at, triangles_under
from rillwright.ground.frame import Frame, frame_of
from rillwright.ground.net import Net, cut_and_constrained, split_in_the_middle
from rillwright.ground.raster import Raster, raster
from rillwright.ground.tin import Tin, tin_of

if TYPE_CHECKING:
    from rillwright.ground.contours import Contour, contours, even_levels
    from rillwright.ground.descent import Descent, descend
    from rillwright.ground.higher import above_and_below, earth_by_part, higher
    from rillwright.ground.outline import Covered, covered, cut_out, footprint
    from rillwright.ground.section import Section, section
    from rillwright.ground.spill import Spill, SpillLevels, spill_from, spill_levels
    from rillwright.ground.spill_net import spill_levels_on, spill_on
    from rillwright.ground.spot import Spot, spots
    from rillwright.ground.thinning import Thinning
    from rillwright.ground.volumes import Volumes, volumes_between, volumes_to_level

_WHEN_ASKED = {  # a check has no need of these, and each takes its time to load
    "rillwright.ground.contours": (
        "Contour",
        "contours",
        "even_levels",
    ),
    "rillwright.ground.descent": (
        "Descent",
        "descend",
    ),
    "rillwright.ground.higher": (
        "above_and_below",
        "earth_by_part",
        "higher",
    ),
    "rillwright.ground.outline": (
        "Covered",
        "covered",
        "cut_out",
        "footprint",
    ),
    "rillwright.ground.section": (
        "Section",
        "section",
    ),
    "rillwright.ground.spill": (
        "Spill",
        "SpillLevels",
        "spill_from",
        "spill_levels",
    ),
    "rillwright.ground.spill_net": (
        "spill_levels_on",
        "spill_on",
    ),
    "rillwright.ground.spot": (
        "Spot",
        "spots",
    ),
    "rillwright.ground.thinning": ("Thinning",),
    "rillwright.ground.volumes": (
        "Volumes",
        "volumes_between",
        "volumes_to_level",
    ),
}

__all__ = [
    "Agreed",
    "Bins",
    "Contour",
    "Covered",
    "Descent",
    "Frame",
    "GroundData",
    "GroundLine",
    "LineRole",
    "Names",
    "Net",
    "Raster",
    "Section",
    "Spill",
    "SpillLevels",
    "Spot",
    "Thinning",
    "Tin",
    "Volumes",
    "above_and_below",
    "bins_of",
    "contours",
    "covered",
    "cut_and_constrained",
    "cut_out",
    "descend",
    "earth_by_part",
    "even_levels",
    "footprint",
    "frame_of",
    "higher",
    "joined",
    "levels_at",
    "raster",
    "section",
    "spill_from",
    "spill_levels",
    "spill_levels_on",
    "spill_on",
    "split_in_the_middle",
    "spots",
    "tin_of",
    "triangles_under",
    "volumes_between",
    "volumes_to_level",
]


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            module = import_module(home)
            globals().update({each: getattr(module, each) for each in names})  # a module may be called as its function
            return globals()[name]
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
