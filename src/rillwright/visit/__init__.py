"""The first visit: nine answers to a feature file and a level book to go on with."""

from rillwright.visit.answers import QUESTIONS, Answers, Question
from rillwright.visit.writing import VisitFiles, write

__all__ = ["QUESTIONS", "Answers", "Question", "VisitFiles", "write"]
