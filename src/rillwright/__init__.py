"""Levels, water, liner, stone, price and papers for recirculating ponds, streams and waterfalls."""
