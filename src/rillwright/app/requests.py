"""What may be sent, strictly: no other field, no other kind, nothing without bounds."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

FORMAT = 1  # of what is sent and answered; that of web/src/api.ts
MOST_AT_ONCE = 500  # readings, or ticks, in one sending
_LONG = 5_000  # characters of anything typed; what is longer than the file may hold is told row by row

Typed = Annotated[str, Field(max_length=_LONG)]
Key = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[A-Za-z][A-Za-z0-9_. -]*$")]
QuestionKey = Annotated[str, Field(max_length=60)]
Answer = Annotated[str, Field(max_length=2_000)]  # notes are the longest, and say themselves how long they may be
Index = Annotated[int, Field(ge=0, le=100_000)]


class Sent(BaseModel):
    """The root of what is sent."""

    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False, frozen=True)


class VisitAsked(Sent):
    """The answers of a first visit, as typed, by the keys of their questions."""

    answers: Annotated[dict[QuestionKey, Answer], Field(max_length=40)]


class Edit(Sent):
    """One value of the feature file typed anew."""

    location: Annotated[list[Key | Index], Field(min_length=1, max_length=12)]
    typed: Typed


class Edits(Sent):
    """Values typed anew, by the revision that the person had before his eyes."""

    revision: Annotated[str, Field(max_length=80)]
    edits: Annotated[list[Edit], Field(min_length=1, max_length=200)]


Told = Annotated[str, Field(max_length=200)]


class NumberInFinding(Sent):
    """A number in the sentences of a finding: the finding's code and element, and the name of its parameter."""

    code: Told
    element: Told
    name: Told


class NumberAsked(Sent):
    """A number, of a drawing or of a finding, in the job with these values typed anew, if any."""

    revision: Annotated[str, Field(max_length=80)]
    edits: Annotated[list[Edit], Field(max_length=200)]
    number: Annotated[str, Field(max_length=500)] | NumberInFinding


class UndoAsked(Sent):
    """To take the last step back."""

    revision: Annotated[str, Field(max_length=80)]


class FollowAsked(Sent):
    """To work out what takes its time, as starts and stops over time, or to leave it off."""

    go: bool


class ShotSent(Sent):
    """One row of shots.csv, as typed."""

    uuid: Typed
    time: Typed
    who: Typed
    setup: Typed
    rod: Typed
    path: Typed
    surface: Typed
    reading: Typed
    state: Typed
    re: Typed
    note: Typed


class ShotsSent(Sent):
    """Readings of a phone, and the digest of the kit by which it answered."""

    format: int
    kit: Annotated[str, Field(max_length=80)]
    shots: list[ShotSent]


class TickSent(Sent):
    """One row of holds.csv, as typed."""

    uuid: Typed
    time: Typed
    who: Typed
    hold: Typed
    item: Typed
    initials: Typed
    state: Typed
    note: Typed


class TicksSent(Sent):
    """Ticks of a phone, and the digest of the kit by which it was ticked."""

    format: int
    kit: Annotated[str, Field(max_length=80)]
    ticks: list[TickSent]


class PairAsked(Sent):
    """A device that shows the code of the square, and what it is to be called."""

    code: Annotated[str, Field(max_length=100)]
    name: Annotated[str, Field(max_length=100)]


class ProblemSaid(BaseModel):
    """Why something could not be used."""

    message: str
    file: str
    line: int | None
    column: int | None
    field: str
    found: str
    allowed: str


class Refused(BaseModel):
    """Every answer that is no 2xx."""

    problems: list[ProblemSaid]
