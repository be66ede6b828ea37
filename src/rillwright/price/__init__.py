"""A price range from a price book."""

from rillwright.price.result import Price, PriceLine
from rillwright.price.whole import crew_days, price_range

__all__ = ["Price", "PriceLine", "crew_days", "price_range"]
