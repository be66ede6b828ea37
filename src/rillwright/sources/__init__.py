"""Data with unit, source and page: sources, limits, defaults, coefficient tables, constants."""

from rillwright.sources.catalogue import Source, source, sources
from rillwright.sources.defaults import Default, default, default_fittings, defaults
from rillwright.sources.limits import Limit, limit, limits

__all__ = [
    "Default",
    "Limit",
    "Source",
    "default",
    "default_fittings",
    "defaults",
    "limit",
    "limits",
    "source",
    "sources",
]
