"""One level book, reduced by itself."""

from __future__ import annotations

from pathlib import Path

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.job.files import read_text
from rillwright.survey import Survey, read_book, reduce


def levels_of_book(path: Path | str, *, rod: str | None = None) -> Survey:
    """Levels, page check and loops of one book.

    Raises
    ------
    InputError
        With everything that is wrong in it.
    """
    book = read_book(read_text(Path(path), file=str(path)), file=str(path), rod=rod)
    try:
        return reduce([book], datum=None)
    except NoAnswer as stopped:
        raise InputError(Problem(message=str(stopped), file=str(path))) from stopped
