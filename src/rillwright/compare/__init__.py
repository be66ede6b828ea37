"""Judged states against each other: what changed, alternatives side by side, an order for a change."""

from rillwright.compare.arrangements import stream_problem
from rillwright.compare.as_json import changes_json, order_json, table_json
from rillwright.compare.comparing import compare
from rillwright.compare.course import Course, CourseFall, CourseReach, course_of
from rillwright.compare.heights import fitting_changes
from rillwright.compare.order import change_order
from rillwright.compare.rendering import advice, key_value, sentence
from rillwright.compare.result import Change, ChangeOrder, Changes, Direction, KeyRow, KeyTable, QuantityChange
from rillwright.compare.table import compare_many
from rillwright.compare.telling import least_m, tells

__all__ = [
    "Change",
    "ChangeOrder",
    "Changes",
    "Course",
    "CourseFall",
    "CourseReach",
    "Direction",
    "KeyRow",
    "KeyTable",
    "QuantityChange",
    "advice",
    "change_order",
    "changes_json",
    "compare",
    "compare_many",
    "course_of",
    "fitting_changes",
    "key_value",
    "least_m",
    "order_json",
    "sentence",
    "stream_problem",
    "table_json",
    "tells",
]
