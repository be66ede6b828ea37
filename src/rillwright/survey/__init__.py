"""What a level book comes to: readings to levels."""

from rillwright.survey.book import Book, KnownLevel, Reading, Rod, Sight
from rillwright.survey.instrument import TwoPeg, curvature_and_refraction_m, two_peg
from rillwright.survey.net import AdjustedNet, NetMark, NetObservation, adjust_net
from rillwright.survey.read import read_book
from rillwright.survey.reduce import reduce
from rillwright.survey.result import Doubt, Loop, PageCheck, SetUp, Survey, SurveyedPoint

__all__ = [
    "AdjustedNet",
    "Book",
    "Doubt",
    "KnownLevel",
    "Loop",
    "NetMark",
    "NetObservation",
    "PageCheck",
    "Reading",
    "Rod",
    "SetUp",
    "Sight",
    "Survey",
    "SurveyedPoint",
    "TwoPeg",
    "adjust_net",
    "curvature_and_refraction_m",
    "read_book",
    "reduce",
    "two_peg",
]
