"""Level books as people write them: text in, a `Book` out, or every problem at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from msgspec import Struct, field
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.feature import Surface
from rillwright.survey.book import Book, KnownLevel, Reading, Rod, Sight
from rillwright.survey.lengths import DIVISIONS, length_m, reading_m
from rillwright.survey.linked import unlinked
from rillwright.survey.sheet import SIGHTS, Row, fail, read_sheet, shown

_SIGHT = dict(zip(SIGHTS, (Sight.BACK, Sight.BETWEEN, Sight.FORE), strict=True))
_RODS = ", ".join(DIVISIONS) + ", or one of these after 'laser' for a direct-reading rod"
_LONGEST_NAME = 80
_SURFACES = {surface.value: surface for surface in Surface}


class _State(Struct):
    """What is carried from row to row while a book is read."""

    file: str
    first_rod: Rod | None
    last_rod: Rod | None = None
    rods_vary: bool = False
    label: str = ""
    typed_label: str = ""
    fore_seen: bool = False
    waiting: bool = False  # a turning point's row began a set-up whose label is still to come
    used: set[str] = field(default_factory=set)
    problems: list[Problem] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=list)
    known: dict[str, KnownLevel] = field(default_factory=dict)


def read_book(text: str, *, file: str, rod: str | None = None) -> Book:
    """Read a level book from comma-separated text, one row a reading (or a turning point's two).

    Parameters
    ----------
    text : str
        The book. Needed are a header row, `point`, and one of `backsight`, `intermediate`, `foresight`.
    file : str
        Its name, for messages.
    rod : str or None
        The rod where the book does not name one: ft-in, tenths, metric, inches, or laser and one of these.

    Returns
    -------
    Book
        Readings in order with exact values [m], and the levels [m] that the book gives.

    Raises
    ------
    InputError
        With all that is wrong in the book, by line.

    References
    ----------
    Common practice, no source: the columns of a level book.
    """
    rows = read_sheet(text, file)
    state = _State(file=file, first_rod=None)
    state.first_rod = _first_rod(rows[0], rod, state)
    fail(state.problems, file)
    for row in rows:
        _read_row(row, state)
    if not state.readings and not state.problems:
        state.problems.append(Problem(message="the book has no reading", file=file, line=rows[0].line))
    if not state.problems:
        state.problems += unlinked(file, state.readings, state.known)
    fail(state.problems, file)
    return Book(file=file, readings=tuple(state.readings), known=tuple(state.known.values()))


def read_rod(text: str, default: Rod | None) -> Rod | None:
    """A rod from its words; `laser` alone takes the division of the default. None if it cannot be understood."""
    words = text.lower().split()
    direct = bool(words) and words[0] == "laser"
    division = " ".join(words[1:] if direct else words)
    if direct and not division and default is not None:
        return Rod(default.division, True)
    return Rod(division, direct) if division in DIVISIONS else None


def _first_rod(row: Row, argument: str | None, state: _State) -> Rod | None:
    given = read_rod(argument, None) if argument is not None else None
    if argument is not None and given is None:
        state.problems.append(
            Problem(message="unknown rod", file=state.file, field="rod", found=shown(argument), allowed=_RODS)
        )
        return None
    if "rod" in row.cells:
        found = read_rod(row.cells["rod"], given)
        if found is None:
            _bad_rod(row, state)
        return found
    if given is None:
        message = "no rod is named, neither in the first row nor beside the book"
        state.problems.append(Problem(message=message, file=state.file, line=row.line, field="rod", allowed=_RODS))
    return given


def _bad_rod(row: Row, state: _State) -> None:
    _problem(state, row, "rod", "unknown rod, or a laser rod without its division", allowed=_RODS)


def _problem(state: _State, row: Row, column: str, message: str, *, allowed: str = "") -> None:
    found = shown(row.cells[column]) if column in row.cells else ""
    state.problems.append(
        Problem(message=message, file=state.file, line=row.line, field=column, found=found, allowed=allowed)
    )


def _rod(row: Row, state: _State) -> Rod | None:
    if "rod" in row.cells:
        found = read_rod(row.cells["rod"], state.first_rod)
        if found is None:
            _bad_rod(row, state)
            return None
        state.rods_vary = state.rods_vary or found != state.first_rod
        return found
    if state.rods_vary:
        _problem(state, row, "rod", "the book has several rods: say which one read this", allowed=_RODS)
        return None
    return state.first_rod


def _read_row(row: Row, state: _State) -> None:
    before = len(state.problems)
    point = row.cells.get("point", "")
    if not point:
        _problem(state, row, "point", "the row names no point")
    for column in ("point", "setup"):
        name = row.cells.get(column, "")
        if not name.isprintable() or len(name) > _LONGEST_NAME:
            allowed = f"at most {_LONGEST_NAME} characters, all of them printable"
            _problem(state, row, column, "not a name that can be written on a stake or a page", allowed=allowed)
    rod = _rod(row, state)
    sights = _sights(row, state)
    surface = _surface(row, state)
    if rod is None:
        return
    values = {column: _length(row, column, state, rod) for column in (*sights, "level", "x", "y", "distance")}
    if values["distance"] is not None and values["distance"] < 0:
        _problem(state, row, "distance", "a distance is never negative", allowed="0 or more")
    if ("x" in row.cells) != ("y" in row.cells):
        _problem(state, row, "x" if "x" in row.cells else "y", "a place needs x and y, or neither")
    if len(state.problems) > before:
        return
    _note_level(row, values["level"], state)
    x, y, far = values["x"], values["y"], values["distance"]
    blank = Reading(
        line=row.line, setup="", point=point, sight=Sight.BETWEEN, value_m=Fraction(0), text="", rod=rod,
        surface=surface, at=None if x is None or y is None else (float(x), float(y)),
        distance_m=None if far is None else float(far),
        time=row.cells.get("time", ""), who=row.cells.get("who", ""), note=row.cells.get("note", ""),
    )  # fmt: skip
    _add_readings(row, sights, state, blank=blank, values=values)


def _sights(row: Row, state: _State) -> tuple[str, ...]:
    """The reading columns that the row fills, a foresight before a backsight as they were taken."""
    filled = tuple(column for column in ("foresight", "intermediate", "backsight") if column in row.cells)
    if not filled and "level" not in row.cells:
        _problem(state, row, "reading", "the row has no reading", allowed=", ".join(SIGHTS))
    if len(filled) > 1 and "intermediate" in filled:
        message = "an intermediate sight stands on a row of its own"
        _problem(state, row, "intermediate", message, allowed="only a turning point has two: foresight and backsight")
    return filled


def _surface(row: Row, state: _State) -> Surface | None:
    word = " ".join(row.cells.get("surface", "").lower().replace("_", " ").split())
    if word and word not in _SURFACES:
        _problem(state, row, "surface", "unknown surface", allowed=", ".join(_SURFACES))
    return _SURFACES.get(word)


def _length(row: Row, column: str, state: _State, rod: Rod) -> Fraction | None:
    if column not in row.cells:
        return None
    read: Callable[[str, Rod], Fraction] = reading_m if column in SIGHTS else length_m
    try:
        return read(row.cells[column], rod)
    except InputError as error:
        state.problems += [
            replace(p, file=state.file, line=row.line, field=column, found=shown(row.cells[column]))
            for p in error.problems
        ]
        return None


def _note_level(row: Row, level: Fraction | None, state: _State) -> None:
    if level is None:
        return
    point = row.cells["point"]
    earlier = state.known.get(point)
    if earlier is not None and earlier.level_m != level:
        allowed = f"one level for a mark; line {earlier.line} gives {shown(earlier.text)}"
        _problem(state, row, "level", f"two levels for {shown(point)}", allowed=allowed)
    elif earlier is None:
        state.known[point] = KnownLevel(point=point, line=row.line, level_m=level, text=row.cells["level"])


def _add_readings(
    row: Row, sights: Sequence[str], state: _State, *, blank: Reading, values: dict[str, Fraction | None]
) -> None:
    for column in sights:
        value = values[column]
        if value is None:
            continue
        _enter_setup(row, column, state, turning=len(sights) > 1)
        # on a turning point's row the distance is that of the section which the foresight ends
        far = None if column == "backsight" and len(sights) > 1 else blank.distance_m
        state.readings.append(
            replace(
                blank, setup=state.label, sight=_SIGHT[column], value_m=value, text=row.cells[column], distance_m=far
            )
        )
        state.fore_seen = state.fore_seen or column == "foresight"


def _enter_setup(row: Row, column: str, state: _State, *, turning: bool) -> None:
    """Which set-up this reading belongs to; see the method note for the rules."""
    typed = row.cells.get("setup", "")
    if turning and column == "foresight":
        if not state.label:
            _begin(state, typed)
        return
    if turning:
        known_now = typed if typed != state.typed_label else ""
        _begin(state, known_now)
        state.waiting = not known_now
    elif typed and typed != state.typed_label:
        if state.waiting:
            _rename(state, typed)
        else:
            _begin(state, typed, again=True)
    elif not state.label or (not typed and column == "backsight" and state.fore_seen):
        _begin(state, typed)


def _begin(state: _State, typed: str, *, again: bool = False) -> None:
    """Begin a set-up; a typed label that stood before means that same set-up `again`."""
    label = typed if typed and (again or typed not in state.used) else ""
    number = len(state.used) + 1
    while not label or (label in state.used and not again):
        label, number = str(number), number + 1
    state.used.add(label)
    state.label, state.fore_seen, state.waiting = label, False, False
    state.typed_label = typed or state.typed_label


def _rename(state: _State, typed: str) -> None:
    old, state.waiting = state.label, False
    state.label = state.typed_label = typed
    for i in range(len(state.readings) - 1, -1, -1):
        if state.readings[i].setup != old:
            break
        state.readings[i] = replace(state.readings[i], setup=typed)
    state.used.discard(old)
    state.used.add(typed)
