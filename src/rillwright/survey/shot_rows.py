"""Rows of shots.csv understood: rod, reading, path, surface, order, and what later rows say of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction

from msgspec import Struct, field

from rillwright.errors import InputError
from rillwright.feature import ElementPath, Surface
from rillwright.survey.book import Rod
from rillwright.survey.nanometres import reading_nm, whole_nm
from rillwright.survey.read import read_rod
from rillwright.survey.shot_result import Question
from rillwright.survey.shots import Shot, ShotState

LEVEL = "level"  # in the place of a rod: the row holds a level and no reading
_GIVEN = re.compile(r"[+-]?[0-9]{1,5}(\.[0-9]{1,9})? m", re.ASCII)
_SURFACES = {surface.value: surface for surface in Surface}


class Read(Struct, eq=False):
    """A reading while it is being reduced."""

    shot: Shot
    number: int  # place in the file
    rod: Rod | None
    rod_name: str
    nm: int | None
    path: ElementPath | None
    surface: Surface | None
    when: datetime | None
    said: ShotState  # by its own row
    said_later: ShotState | None = None  # by the last row about it
    why_later: str = ""
    questions: list[Question] = field(default_factory=list)
    level_nm: int | None = None
    variance: float = 0.0
    unconfirmed: str = ""
    benchmark: bool = False
    given: bool = False  # a level that somebody else's instrument gave, no reading of a rod

    def ask(self, code: str, text: str, *, doubts: bool = True) -> None:
        """Note a question about this reading."""
        self.questions.append(Question(code=code, text=text, uuid=self.shot.uuid, doubts=doubts))

    @property
    def withdrawn(self) -> bool:
        return (self.said_later or self.said) is ShotState.WITHDRAWN

    @property
    def usable(self) -> bool:
        """A reading that nobody has withdrawn or doubted, and that can be read."""
        return self.nm is not None and (self.said_later or self.said) is ShotState.KEPT

    @property
    def confirmed(self) -> bool:
        """A person was asked about it and said that it holds."""
        return self.said_later is ShotState.KEPT

    @property
    def spot(self) -> tuple[str, Surface | None]:
        return (str(self.path) if self.path is not None else self.shot.path, self.surface)

    @property
    def mark(self) -> str | None:
        """The id of the mark or free point that it reads as a mark, else None."""
        if self.path is None or self.path.collection not in ("marks", "points") or self.surface is not Surface.MARK:
            return None
        return self.path.id


def rod_of(text: str) -> tuple[str, Rod | None]:
    """Name and rod of a cell such as `laser tenths` or `r2/ft-in`."""
    name, stroke, words = text.rpartition("/")
    return (name.strip() if stroke else ""), read_rod(words, None)


def understood(shots: Sequence[Shot]) -> tuple[list[Read], list[Question]]:
    """The readings in the order of the file, with what later rows say of them; and rows that speak of none."""
    reads: list[Read] = []
    by_uuid: dict[str, Read] = {}
    about: list[Question] = []
    for shot in shots:
        if shot.re:
            _about(shot, by_uuid, about)
        if not shot.reading:
            if not shot.re:
                about.append(Question(code="about", text=f"line {shot.line} has no reading", uuid=shot.uuid))
            continue
        earlier = by_uuid.get(shot.uuid)
        if earlier is not None and earlier.shot.cells == shot.cells:  # sent twice, kept once
            continue
        read = _read(shot, len(reads))
        if earlier is not None:
            read.ask("duplicate", f"line {earlier.shot.line} has the same uuid and says something else")
        by_uuid.setdefault(shot.uuid, read)
        reads.append(read)
    _ask_of_clocks(reads)
    return reads, about


def _about(shot: Shot, by_uuid: dict[str, Read], about: list[Question]) -> None:
    """A row about an earlier one; with a reading of its own it takes that one's place."""
    target = by_uuid.get(shot.re)
    state = ShotState(shot.state) if shot.state in list(ShotState) else None
    if target is None or state is None:
        what = "no earlier row has that uuid" if target is None else f"{shot.state!r} is no state"
        about.append(Question(code="about", text=f"line {shot.line} speaks of {shot.re}: {what}", uuid=shot.uuid))
        return
    target.said_later = ShotState.WITHDRAWN if shot.reading else state
    target.why_later = shot.note or ("read anew" if shot.reading else f"by {shot.who}" if shot.who else "")


def _read(shot: Shot, number: int) -> Read:
    name, rod = rod_of(shot.rod)
    word = " ".join(shot.surface.lower().replace("_", " ").split())
    try:
        path = ElementPath.parse(shot.path)
    except InputError:
        path = None
    state = shot.state if shot.state in list(ShotState) else ShotState.KEPT
    read = Read(shot, number, rod, name, None, path, _SURFACES.get(word), shot.when, ShotState(state))
    if shot.rod.strip() == LEVEL:
        read.given = True
        if _GIVEN.fullmatch(shot.reading) is None:
            read.ask("reading", f"{shot.reading!r} is no level in metres, such as -0.352 m")
        else:
            read.level_nm = whole_nm(Fraction(shot.reading.removesuffix(" m")))
    elif rod is not None:
        try:
            read.nm = reading_nm(shot.reading, rod)
        except InputError as error:
            read.ask("reading", f"{shot.reading!r}: {error.problems[0].message}")
    else:
        read.ask("rod", f"{shot.rod!r} is no rod that is known: which one read {shot.reading!r}?")
    if shot.state not in list(ShotState):
        read.ask("about", f"{shot.state!r} is no state; taken as kept", doubts=False)
    return read


def _ask_of_clocks(reads: Sequence[Read]) -> None:
    last: dict[str, datetime] = {}
    for read in reads:
        if read.when is None:
            text = f"{read.shot.time!r} is no time with an offset; the order of the file holds"
            read.ask("time", text, doubts=False)
            continue
        before = last.get(read.shot.who)
        if before is not None and read.when < before:
            back = before - read.when
            went = f"the clock went back by {str(back).split('.')[0]} since the reading before"
            text = f"{went}; the order of the file holds"
            read.ask("clock", text, doubts=False)
        last[read.shot.who] = read.when


def in_order(reads: Sequence[Read]) -> list[Read]:
    """The readings of a set-up as they were taken: by time, or as in the file where some clock cannot be trusted."""
    if any(read.when is None or any(q.code == "clock" for q in read.questions) for read in reads):
        return list(reads)
    return sorted(reads, key=lambda read: (read.when or datetime.min, read.number))
