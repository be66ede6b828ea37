"""What a level book comes to: readings to levels."""

from rillwright.survey.book import Book, KnownLevel, Reading, Rod, Sight
from rillwright.survey.built import reduce_shots
from rillwright.survey.instrument import TwoPeg, curvature_and_refraction_m, two_peg
from rillwright.survey.nanometres import instrument_nm, level_nm, reading_nm, whole_nm
from rillwright.survey.neighbours import Stray, strays
from rillwright.survey.net import AdjustedNet, NetMark, NetObservation, adjust_net
from rillwright.survey.newest import newest
from rillwright.survey.read import read_book
from rillwright.survey.reduce import reduce
from rillwright.survey.result import READ_ONCE, Doubt, LookBack, Loop, PageCheck, SetUp, Survey, SurveyedPoint
from rillwright.survey.shot_result import NO_SHOTS, Question, ReducedShot, ShotSetUp, SiteShots
from rillwright.survey.shot_rows import LEVEL
from rillwright.survey.shots import HEADER as SHOTS_HEADER
from rillwright.survey.shots import MOST_SHOTS, Shot, ShotSheet, ShotState, Unread, read_shots, with_rows, write_shot
from rillwright.survey.taped import Taped, taped_doubt, taped_within_m
from rillwright.survey.tick_order import as_set, tick_questions
from rillwright.survey.ticks import MOST_TICKS, TICK_COLUMNS, TICKS_HEADER, Tick, TickSheet, read_ticks, write_tick

__all__ = [
    "LEVEL",
    "MOST_SHOTS",
    "MOST_TICKS",
    "NO_SHOTS",
    "READ_ONCE",
    "SHOTS_HEADER",
    "TICKS_HEADER",
    "TICK_COLUMNS",
    "AdjustedNet",
    "Book",
    "Doubt",
    "KnownLevel",
    "LookBack",
    "Loop",
    "NetMark",
    "NetObservation",
    "PageCheck",
    "Question",
    "Reading",
    "ReducedShot",
    "Rod",
    "SetUp",
    "Shot",
    "ShotSetUp",
    "ShotSheet",
    "ShotState",
    "Sight",
    "SiteShots",
    "Stray",
    "Survey",
    "SurveyedPoint",
    "Taped",
    "Tick",
    "TickSheet",
    "TwoPeg",
    "Unread",
    "adjust_net",
    "as_set",
    "curvature_and_refraction_m",
    "instrument_nm",
    "level_nm",
    "newest",
    "read_book",
    "read_shots",
    "read_ticks",
    "reading_nm",
    "reduce",
    "reduce_shots",
    "strays",
    "taped_doubt",
    "taped_within_m",
    "tick_questions",
    "two_peg",
    "whole_nm",
    "with_rows",
    "write_shot",
    "write_tick",
]
