"""The one service: open a job, judge it, find what fits, print its papers. Commands and screens call this alone."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.assessment import Finding, Judged
from rillwright.build import SiteDay
from rillwright.job.demo import demo, examples
from rillwright.job.levelling import levels_of_book
from rillwright.job.opening import Job, judge, open, readings_of, save
from rillwright.job.papers import Papers, papers
from rillwright.job.starting import new
from rillwright.job.telling import KeyNumber, checked_against, key_numbers
from rillwright.judge import remedy_of, text_of, to_json
from rillwright.survey import Survey

if TYPE_CHECKING:
    from rillwright.fit import Arrangement, Character, FitProblem, FitResult
    from rillwright.job.fitting import Fitted, fit_height, fit_job
    from rillwright.job.visiting import Visited, visit
    from rillwright.visit import QUESTIONS, Answers, Question, refused

_WHEN_ASKED = {  # a check has no need of these, and each takes its time to load
    "rillwright.fit": ("Arrangement", "Character", "FitProblem", "FitResult"),
    "rillwright.job.fitting": ("Fitted", "fit_height", "fit_job"),
    "rillwright.job.visiting": ("Visited", "visit"),
    "rillwright.visit": ("QUESTIONS", "Answers", "Question", "refused"),
}

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


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            found = globals()[name] = getattr(import_module(home), name)
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
