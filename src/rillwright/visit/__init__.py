"""The first visit: nine answers to a feature file and a level book to go on with."""

from rillwright.visit.answers import LONGEST_NOTES, Answers, Taken, as_tenths, check, refused
from rillwright.visit.questions import QUESTIONS, Question
from rillwright.visit.saying import say_staircase
from rillwright.visit.staircase import Stair, find_stair, height_m
from rillwright.visit.writing import VisitFiles, write

__all__ = [
    "LONGEST_NOTES",
    "QUESTIONS",
    "Answers",
    "Question",
    "Stair",
    "Taken",
    "VisitFiles",
    "as_tenths",
    "check",
    "find_stair",
    "height_m",
    "refused",
    "say_staircase",
    "write",
]
