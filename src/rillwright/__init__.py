"""Levels, water, liner, stone, price and papers for recirculating ponds, streams and waterfalls."""

__version__ = "0.1.0"
