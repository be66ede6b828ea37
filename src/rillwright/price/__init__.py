"""Take-off times price book."""

from rillwright.price.result import Price, PriceLine

__all__ = ["Price", "PriceLine"]
