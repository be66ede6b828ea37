"""Height budget -> arrangements of falls and ripples that fit: whole numbers in and out."""

from rillwright.fit.by_limits import problem_by_limits
from rillwright.fit.fitting import fit, fit_nearest
from rillwright.fit.preference import COST_NAMES
from rillwright.fit.problem import (
    CHARACTERS,
    KINDS,
    UNITS,
    Bed,
    Built,
    Character,
    FitProblem,
    Kind,
    Span,
    Unit,
    Wish,
    standard_problem,
)
from rillwright.fit.result import Arrangement, Drop, FitResult, GiveUp, WouldFit
from rillwright.fit.whole_units import PER_M, counted, unit_of
from rillwright.fit.words import short_words

__all__ = [
    "CHARACTERS",
    "COST_NAMES",
    "KINDS",
    "PER_M",
    "UNITS",
    "Arrangement",
    "Bed",
    "Built",
    "Character",
    "Drop",
    "FitProblem",
    "FitResult",
    "GiveUp",
    "Kind",
    "Span",
    "Unit",
    "Wish",
    "WouldFit",
    "counted",
    "fit",
    "fit_nearest",
    "problem_by_limits",
    "short_words",
    "standard_problem",
    "unit_of",
]
