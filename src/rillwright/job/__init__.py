"""The one service: open a job, judge it, find what fits, print its papers. Commands and screens call this alone."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.assessment import Finding, HoldItem, HoldState, Judged
from rillwright.build import SiteDay
from rillwright.job.demo import demo, examples
from rillwright.job.files import read_text
from rillwright.job.levelling import levels_of_book
from rillwright.job.namesakes import namesakes
from rillwright.job.opening import Job, judge, open, readings_of
from rillwright.job.papers import Papers, papers
from rillwright.job.saving import Undone, save, undo
from rillwright.job.shooting import Shift, Shooting, confirm, doubt, receive, shifted, shoot, surfaces_at, withdraw
from rillwright.job.starting import new
from rillwright.job.stepping import LastStep, last_step_of
from rillwright.job.telling import KeyNumber, checked_against, key_numbers
from rillwright.judge import (
    Matter,
    before_the_dig,
    finding_json,
    likewise,
    limit_of,
    matters,
    matters_json,
    remedy_of,
    text_of,
    three_worst,
    to_json,
)
from rillwright.survey import ReducedShot, Shot, Survey, Tick

if TYPE_CHECKING:
    from rillwright.compare import Change, Changes, KeyTable, advice, changes_json, compare, key_value, sentence
    from rillwright.fit import Arrangement, Character, FitProblem, FitResult, GiveUp
    from rillwright.ground import Covered, Section, Spot, Volumes
    from rillwright.job.asked_ticks import asked_of_ticks, taped_words
    from rillwright.job.comparing import Compared, compare_jobs, order_paper
    from rillwright.job.drawing import DrawingName, Theme, drawing_svg
    from rillwright.job.edges import RimsTold, rims_told
    from rillwright.job.editing import FieldOfFile, fields_of
    from rillwright.job.finishing import SurfaceDrawing, finish, finished_glb, surface_drawings, surface_svg
    from rillwright.job.fitting import Fitted, fit_height, fit_job
    from rillwright.job.following import HistoryTold, follow, found_over_time, histories_of, motion_of
    from rillwright.job.from_points import Taken, take_points
    from rillwright.job.grounding import (
        Ground,
        GroundSaid,
        GroundTold,
        earth_between,
        earth_to_level,
        ground_dxf,
        ground_of,
        ground_svg,
        ground_told,
        interval_of,
        outlines_on,
        section_over,
        spots_on,
        write_ground,
    )
    from rillwright.job.holding import Ticked, holds, tick
    from rillwright.job.kitting import Kit, kit_of
    from rillwright.job.looking import (
        JobSeen,
        Stamp,
        folders_in,
        revision_of,
        seen,
        stamp_of,
        with_rows_of_disk,
    )
    from rillwright.job.odds import EdgeOdds, OddsTold, odds_told
    from rillwright.job.photographs import LARGEST_PHOTO, Photo, keep_photo, photos_of, read_photo
    from rillwright.job.receiving import Received, receive_each, receive_ticks
    from rillwright.job.running_water import WaterTold, water_told
    from rillwright.job.sketching import Sketch, answers_of, page_of, sketch
    from rillwright.job.surfacing import (
        LayerRow,
        LayerSpot,
        finished_of,
        layer_cells,
        layer_section,
        layer_spots,
        spacing_of,
        write_surface,
    )
    from rillwright.job.tracing import Told, told_in_drawing, told_in_finding
    from rillwright.job.unfinished import refuse_taken
    from rillwright.job.visiting import Visited, refused, visit, visit_page_in
    from rillwright.visit import QUESTIONS, Answers, Question, as_tenths

_WHEN_ASKED = {  # a check has no need of these, and each takes its time to load
    "rillwright.compare": (
        "Change",
        "Changes",
        "KeyTable",
        "advice",
        "changes_json",
        "compare",
        "key_value",
        "sentence",
    ),
    "rillwright.job.comparing": ("Compared", "compare_jobs", "order_paper"),
    "rillwright.fit": ("Arrangement", "Character", "FitProblem", "FitResult", "GiveUp"),
    "rillwright.job.finishing": ("SurfaceDrawing", "finish", "finished_glb", "surface_drawings", "surface_svg"),
    "rillwright.job.surfacing": (
        "LayerRow",
        "LayerSpot",
        "finished_of",
        "layer_cells",
        "layer_section",
        "layer_spots",
        "spacing_of",
        "write_surface",
    ),
    "rillwright.job.fitting": ("Fitted", "fit_height", "fit_job"),
    "rillwright.job.following": ("HistoryTold", "follow", "found_over_time", "histories_of", "motion_of"),
    "rillwright.job.from_points": ("Taken", "take_points"),
    "rillwright.job.asked_ticks": ("asked_of_ticks", "taped_words"),
    "rillwright.ground": ("Covered", "Section", "Spot", "Volumes"),
    "rillwright.job.grounding": (
        "Ground",
        "GroundSaid",
        "GroundTold",
        "earth_between",
        "earth_to_level",
        "ground_dxf",
        "ground_of",
        "ground_svg",
        "ground_told",
        "interval_of",
        "outlines_on",
        "section_over",
        "spots_on",
        "write_ground",
    ),
    "rillwright.job.holding": ("Ticked", "holds", "tick"),
    "rillwright.job.drawing": ("DrawingName", "Theme", "drawing_svg"),
    "rillwright.job.editing": ("FieldOfFile", "fields_of"),
    "rillwright.job.kitting": ("Kit", "kit_of"),
    "rillwright.job.looking": (
        "JobSeen",
        "Stamp",
        "folders_in",
        "revision_of",
        "seen",
        "stamp_of",
        "with_rows_of_disk",
    ),
    "rillwright.job.photographs": ("LARGEST_PHOTO", "Photo", "keep_photo", "photos_of", "read_photo"),
    "rillwright.job.receiving": ("Received", "receive_each", "receive_ticks"),
    "rillwright.job.edges": ("RimsTold", "rims_told"),
    "rillwright.job.odds": ("EdgeOdds", "OddsTold", "odds_told"),
    "rillwright.job.sketching": ("Sketch", "answers_of", "page_of", "sketch"),
    "rillwright.job.tracing": ("Told", "told_in_drawing", "told_in_finding"),
    "rillwright.job.unfinished": ("refuse_taken",),
    "rillwright.job.visiting": ("Visited", "refused", "visit", "visit_page_in"),
    "rillwright.job.running_water": ("WaterTold", "water_told"),
    "rillwright.visit": ("QUESTIONS", "Answers", "Question", "as_tenths"),
}

__all__ = [
    "LARGEST_PHOTO",
    "QUESTIONS",
    "Answers",
    "Arrangement",
    "Change",
    "Changes",
    "Character",
    "Compared",
    "Covered",
    "DrawingName",
    "EdgeOdds",
    "FieldOfFile",
    "Finding",
    "FitProblem",
    "FitResult",
    "Fitted",
    "GiveUp",
    "Ground",
    "GroundSaid",
    "GroundTold",
    "HistoryTold",
    "HoldItem",
    "HoldState",
    "Job",
    "JobSeen",
    "Judged",
    "KeyNumber",
    "KeyTable",
    "Kit",
    "LastStep",
    "LayerRow",
    "LayerSpot",
    "Matter",
    "OddsTold",
    "Papers",
    "Photo",
    "Question",
    "Received",
    "ReducedShot",
    "RimsTold",
    "Section",
    "Shift",
    "Shooting",
    "Shot",
    "SiteDay",
    "Sketch",
    "Spot",
    "Stamp",
    "SurfaceDrawing",
    "Survey",
    "Taken",
    "Theme",
    "Tick",
    "Ticked",
    "Told",
    "Undone",
    "Visited",
    "Volumes",
    "WaterTold",
    "advice",
    "answers_of",
    "as_tenths",
    "asked_of_ticks",
    "before_the_dig",
    "changes_json",
    "checked_against",
    "compare",
    "compare_jobs",
    "confirm",
    "demo",
    "doubt",
    "drawing_svg",
    "earth_between",
    "earth_to_level",
    "examples",
    "fields_of",
    "finding_json",
    "finish",
    "finished_glb",
    "finished_of",
    "fit_height",
    "fit_job",
    "folders_in",
    "follow",
    "found_over_time",
    "ground_dxf",
    "ground_of",
    "ground_svg",
    "ground_told",
    "histories_of",
    "holds",
    "interval_of",
    "judge",
    "keep_photo",
    "key_numbers",
    "key_value",
    "kit_of",
    "last_step_of",
    "layer_cells",
    "layer_section",
    "layer_spots",
    "levels_of_book",
    "likewise",
    "limit_of",
    "matters",
    "matters_json",
    "motion_of",
    "namesakes",
    "new",
    "odds_told",
    "open",
    "order_paper",
    "outlines_on",
    "page_of",
    "papers",
    "photos_of",
    "read_photo",
    "read_text",
    "readings_of",
    "receive",
    "receive_each",
    "receive_ticks",
    "refuse_taken",
    "refused",
    "remedy_of",
    "revision_of",
    "rims_told",
    "save",
    "section_over",
    "seen",
    "sentence",
    "shifted",
    "shoot",
    "sketch",
    "spacing_of",
    "spots_on",
    "stamp_of",
    "surface_drawings",
    "surface_svg",
    "surfaces_at",
    "take_points",
    "taped_words",
    "text_of",
    "three_worst",
    "tick",
    "to_json",
    "told_in_drawing",
    "told_in_finding",
    "undo",
    "visit",
    "visit_page_in",
    "water_told",
    "with_rows_of_disk",
    "withdraw",
    "write_ground",
    "write_surface",
]


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            found = globals()[name] = getattr(import_module(home), name)
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
