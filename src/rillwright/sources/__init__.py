"""Data with unit, source and page: sources, limits, defaults, coefficient tables, constants."""

from rillwright.sources.catalogue import Source, source, sources
from rillwright.sources.constants import (
    STANDARD_ATMOSPHERE_PA,
    STANDARD_GRAVITY_MS2,
    WATER_SURFACE_TENSION_NM,
    atmosphere,
    water_density,
    water_vapour_pressure,
    water_viscosity,
)
from rillwright.sources.defaults import Default, default, default_fittings, defaults
from rillwright.sources.edges import Cover, Fill, cover, covers, fill, fills
from rillwright.sources.ground import (
    Gradation,
    RockDensity,
    Soil,
    gradation,
    gradations,
    rock_densities,
    soil,
    soils,
)
from rillwright.sources.limits import Limit, asked, limit, limit_as_met, limits
from rillwright.sources.machines import MachineRow, machine, machines
from rillwright.sources.misclosure import MisclosureRule, misclosure_rule, misclosure_rules
from rillwright.sources.packaged import COMMON_PRACTICE
from rillwright.sources.pipes import FittingK, PipeSize, fitting, fittings, pipes_inch, pipes_metric
from rillwright.sources.price_row import SALE_UNITS, PriceRow
from rillwright.sources.prices import PriceBook, price_book
from rillwright.sources.weirs import BroadCrestTable, ContractedCrest, broad_crest_table, contracted_crest_table

__all__ = [
    "COMMON_PRACTICE",
    "SALE_UNITS",
    "STANDARD_ATMOSPHERE_PA",
    "STANDARD_GRAVITY_MS2",
    "WATER_SURFACE_TENSION_NM",
    "BroadCrestTable",
    "ContractedCrest",
    "Cover",
    "Default",
    "Fill",
    "FittingK",
    "Gradation",
    "Limit",
    "MachineRow",
    "MisclosureRule",
    "PipeSize",
    "PriceBook",
    "PriceRow",
    "RockDensity",
    "Soil",
    "Source",
    "asked",
    "atmosphere",
    "broad_crest_table",
    "contracted_crest_table",
    "cover",
    "covers",
    "default",
    "default_fittings",
    "defaults",
    "fill",
    "fills",
    "fitting",
    "fittings",
    "gradation",
    "gradations",
    "limit",
    "limit_as_met",
    "limits",
    "machine",
    "machines",
    "misclosure_rule",
    "misclosure_rules",
    "pipes_inch",
    "pipes_metric",
    "price_book",
    "rock_densities",
    "soil",
    "soils",
    "source",
    "sources",
    "water_density",
    "water_vapour_pressure",
    "water_viscosity",
]
