"""Feature to long section, pond by depth, height budget."""

from rillwright.shape.result import HeightBudget, Line, LongSection, PondShape, Shape, Step, StoneOutline

__all__ = ["HeightBudget", "Line", "LongSection", "PondShape", "Shape", "Step", "StoneOutline"]
