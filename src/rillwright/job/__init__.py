"""The one service: open a job, judge it, find what fits, print its papers. Commands and screens call this alone."""

from rillwright.assessment import Finding, Judged
from rillwright.build import SiteDay
from rillwright.fit import Arrangement, Character, FitProblem, FitResult
from rillwright.job.demo import demo, examples
from rillwright.job.fitting import Fitted, fit_height, fit_job
from rillwright.job.levelling import levels_of_book
from rillwright.job.opening import Job, judge, open, readings_of, save
from rillwright.job.papers import Papers, papers
from rillwright.job.starting import new
from rillwright.job.telling import KeyNumber, checked_against, key_numbers
from rillwright.job.visiting import Visited, visit
from rillwright.judge import remedy_of, text_of, to_json
from rillwright.survey import Survey
from rillwright.visit import QUESTIONS, Answers, Question, refused

__all__ = [
    "QUESTIONS",
    "Answers",
    "Arrangement",
    "Character",
    "Finding",
    "FitProblem",
    "FitResult",
    "Fitted",
    "Job",
    "Judged",
    "KeyNumber",
    "Papers",
    "Question",
    "SiteDay",
    "Survey",
    "Visited",
    "checked_against",
    "demo",
    "examples",
    "fit_height",
    "fit_job",
    "judge",
    "key_numbers",
    "levels_of_book",
    "new",
    "open",
    "papers",
    "readings_of",
    "refused",
    "remedy_of",
    "save",
    "text_of",
    "to_json",
    "visit",
]
