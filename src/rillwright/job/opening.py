"""A job: its feature file, its books, and what they come to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assess import Inputs, assess
from rillwright.assessment import Judged, NotRun
from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.feature import Document, Feature, KnownPoint, complete, datum_level, datum_of
from rillwright.job.files import inside, read_text
from rillwright.job.ground_files import ground_of_files
from rillwright.job.hold_file import HOLD_FILE, ticks_of
from rillwright.job.shot_file import SHOT_FILE, as_built, sheet_of
from rillwright.judge import judge as judged_of
from rillwright.progress import Progress, silent
from rillwright.sources import PriceBook, price_book
from rillwright.survey import ShotSheet, ShotState, SiteShots, Survey, TickSheet, read_book, reduce

if TYPE_CHECKING:
    from rillwright.ground import GroundData

FEATURE_FILE = "feature.yaml"
PRICE_FILE = "prices.csv"
_OF_THE_SURVEY = (("books",), ("marks",), ("datum",))  # what decides how the books are reduced


class Edit(Struct, frozen=True, kw_only=True):
    """One value of the feature file typed anew, not saved yet."""

    location: tuple[str | int, ...]
    typed: str
    before: str  # the whole file before it


class Job(Struct, frozen=True, kw_only=True):
    """An opened job. `path` is the feature file; `as_read` is its text when it was read or last saved.

    `planned` is the feature as the file has it; `feature` is that with the levels of `shots` in the plan's place.
    """

    path: Path
    as_read: str
    document: Document
    surveyed: Survey | NotRun
    planned: Feature
    sheet: ShotSheet
    shots: SiteShots
    feature: Feature
    prices: PriceBook
    ticks: TickSheet = TickSheet()
    edits: tuple[Edit, ...] = ()
    notes: tuple[str, ...] = ()  # what was to be said when it was last saved
    ground: GroundData | None = None  # of the files that it names

    def with_value(self, location: tuple[str | int, ...], typed: str) -> Job:
        """The job with one value of its file typed anew; nothing is written yet.

        Raises
        ------
        InputError
            If the value is not allowed there.
        """
        document = self.document.set(location, typed)
        surveyed = _survey(document, self.path.parent) if location[:1] in _OF_THE_SURVEY else self.surveyed
        edit = Edit(location=location, typed=typed, before=self.document.text)
        return replace(self._completed(document, surveyed), edits=(*self.edits, edit))

    def with_document(self, document: Document) -> Job:
        """The job with another text of its file; nothing is written yet."""
        return self._completed(document, _survey(document, self.path.parent))

    def _completed(self, document: Document, surveyed: Survey | NotRun) -> Job:
        planned = complete(document, _points(surveyed))
        shots, feature = as_built(planned, self.sheet)
        ground = self.ground
        if document.said.ground != self.document.said.ground:
            ground = ground_of_files(document, self.path.parent)
        return replace(
            self, document=document, surveyed=surveyed, planned=planned, shots=shots, feature=feature, ground=ground
        )

    def with_sheet(self, sheet: ShotSheet) -> Job:
        """The job with these rows of shots, reduced anew against its plan."""
        shots, feature = as_built(self.planned, sheet)
        return replace(self, sheet=sheet, shots=shots, feature=feature)

    @property
    def read_from(self) -> tuple[Path, ...]:
        """The files that the job is read from: nothing of ours is ever written over them unasked."""
        folder = self.path.parent
        return (
            self.path,
            folder / PRICE_FILE,
            folder / SHOT_FILE,
            folder / HOLD_FILE,
            *(folder / name for name in self.document.said.books),
            *(folder / said.file for said in self.document.said.ground),
        )


def open(path: Path | str, *, earlier: Job | None = None) -> Job:
    """Open a job folder or a feature file, read every book that it names, and complete it.

    A file whose text is what it was in `earlier` is not parsed again; its books are read anew all the same.

    Raises
    ------
    InputError
        With everything that is wrong in the file or in any of its books.
    """
    path = Path(path)
    file = path / FEATURE_FILE if path.is_dir() else path
    text = read_text(file, file=str(file))
    if earlier is not None and (earlier.path, earlier.document.text) == (file, text):
        document = earlier.document
    else:
        document = Document.read(text, file=str(file))
    surveyed = _survey(document, file.parent)
    planned = complete(document, _points(surveyed))
    ground = ground_of_files(document, file.parent)
    sheet = sheet_of(file.parent)
    shots, feature = as_built(planned, sheet)
    return Job(
        path=file,
        as_read=text,
        document=document,
        surveyed=surveyed,
        planned=planned,
        sheet=sheet,
        shots=shots,
        feature=feature,
        prices=_prices(file.parent),
        ticks=ticks_of(file.parent),
        ground=ground,
    )


def judge(job: Job, *, earlier: Judged | None = None, tier: str = "quick", progress: Progress = silent) -> Judged:
    """The job assessed and judged; what has not changed since `earlier` is taken over."""
    inputs = Inputs(
        feature=job.feature,
        surveyed=job.surveyed,
        prices=job.prices,
        shots=job.shots,
        ticks=job.ticks.ticks,
        ground=job.ground,
    )
    before = earlier.assessment if earlier is not None else None
    return judged_of(assess(inputs, earlier=before, tier=tier, progress=progress))


def readings_of(job: Job) -> tuple[str, ...]:
    """What a job was checked against, as people say it."""
    survey = job.surveyed
    said = []
    if not isinstance(survey, NotRun):
        counts = [(book, len([setup for setup in survey.setups if setup.book == book])) for book in survey.books]
        said += [f"{book}, {count} set-up{'' if count == 1 else 's'}" for book, count in counts]
    said += [f"{named.file}, levels of the ground" for named in job.document.said.ground]
    standing = [shot for shot in job.shots.shots if shot.state != ShotState.WITHDRAWN]
    if standing:
        count, setups = len(standing), len(job.shots.setups)
        said.append(
            f"{SHOT_FILE}, {count} shot{'' if count == 1 else 's'}, {setups} set-up{'' if setups == 1 else 's'}"
        )
    return tuple(said)


def _survey(document: Document, folder: Path) -> Survey | NotRun:
    """All books reduced together; every problem of every book at once."""
    if not document.said.books:
        return NotRun("no level book is named: levels are as typed")
    problems: list[Problem] = []
    books = []
    for index, name in enumerate(document.said.books):
        try:
            books.append(read_book(read_text(inside(folder, name, such_as="books/visit.csv"), file=name), file=name))
        except InputError as error:
            where = document.problem(("books", index), "")
            missing = [
                replace(where, message=p.message, found=name) for p in error.problems if p.message == "is not there"
            ]
            problems += missing or error.problems
    if problems:
        raise InputError(problems)
    datum = datum_of(document.said)
    in_books = {reading.point for book in books for reading in book.readings}
    try:
        return reduce(
            books,
            datum=datum if datum in in_books else None,
            datum_level_m=datum_level(document.said),
        )
    except NoAnswer as stopped:
        raise InputError(Problem(message=str(stopped), file=", ".join(document.said.books))) from stopped


def _points(surveyed: Survey | NotRun) -> dict[str, KnownPoint]:
    """The points of the books by id; of one read on several surfaces the first, which is the ground before work."""
    if isinstance(surveyed, NotRun):
        return {}
    points: dict[str, KnownPoint] = {}
    for point in surveyed.points:
        points.setdefault(point.id, KnownPoint(point.level, point.at))
    return points


def _prices(folder: Path) -> PriceBook:
    """The person's own price book where the folder holds one, else the invented one."""
    own = folder / PRICE_FILE
    return price_book(read_text(own, file=PRICE_FILE), file=PRICE_FILE) if own.is_file() else price_book()
