"""A price range from a price book."""

from rillwright.price.result import PipeOverYears, Price, PriceLine, RunningCost
from rillwright.price.whole import crew_days, price_range

__all__ = ["PipeOverYears", "Price", "PriceLine", "RunningCost", "crew_days", "price_range"]
