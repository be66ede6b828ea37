"""Levels of ground to a surface of triangles: levels anywhere, contours, sections, volumes."""

from rillwright.ground.contours import Contour, contours, even_levels
from rillwright.ground.data import GroundData, GroundLine, LineRole, Names, joined
from rillwright.ground.descent import Descent, descend
from rillwright.ground.finder import Bins, bins_of, levels_at, triangles_under
from rillwright.ground.higher import above_and_below, earth_by_part, higher
from rillwright.ground.net import EdgesCross, Net, constrained, split_in_the_middle
from rillwright.ground.outline import Covered, covered, cut_out, footprint
from rillwright.ground.raster import Raster, raster
from rillwright.ground.section import Section, section
from rillwright.ground.spot import Spot, spots
from rillwright.ground.thinning import Thinning
from rillwright.ground.tin import Tin, tin_of
from rillwright.ground.volumes import Volumes, volumes_between, volumes_to_level

__all__ = [
    "Bins",
    "Contour",
    "Covered",
    "Descent",
    "EdgesCross",
    "GroundData",
    "GroundLine",
    "LineRole",
    "Names",
    "Net",
    "Raster",
    "Section",
    "Spot",
    "Thinning",
    "Tin",
    "Volumes",
    "above_and_below",
    "bins_of",
    "constrained",
    "contours",
    "covered",
    "cut_out",
    "descend",
    "earth_by_part",
    "even_levels",
    "footprint",
    "higher",
    "joined",
    "levels_at",
    "raster",
    "section",
    "split_in_the_middle",
    "spots",
    "tin_of",
    "triangles_under",
    "volumes_between",
    "volumes_to_level",
]
