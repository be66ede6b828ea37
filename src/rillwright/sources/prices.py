"""The price book: an invented one in the package, or a person's own, as CSV text.

    item,unit,low,high,currency,hours_low,hours_high,note

One line an item; money and hours are for one `unit`. Lines that begin with # are remarks; a book with a remark before
its header that says 'invented' is taken as an example and said to be one.
"""

from __future__ import annotations

import csv
import io

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.sources.packaged import text_of
from rillwright.sources.price_row import COLUMNS, PriceRow, read_row

_MOST_LINES = 5000


class PriceBook(Struct, frozen=True, kw_only=True):
    """A price book in one currency. `invented` marks an example that nobody should quote from."""

    file: str
    currency: str
    invented: bool
    rows: tuple[PriceRow, ...]

    def find(self, item: str) -> PriceRow | None:
        """The row of that item, or None if the book has none."""
        return next((row for row in self.rows if row.item == item), None)


def price_book(text: str | bytes | None = None, file: str = "prices.csv") -> PriceBook:
    """Read a price book; without text, the invented one of the package.

    Parameters
    ----------
    text
        Contents of the CSV file, or None.
    file
        Name by which problems call it.

    Returns
    -------
    PriceBook
        Rows in the order of the file, money in Decimal.

    Raises
    ------
    InputError
        With every problem of the book at once, each with its line and field.
    """
    decoded = text_of("prices.csv") if text is None else _decoded(text, file)
    records, remarks = _records(decoded, file)
    if not records:
        raise InputError(Problem(message="the price book is empty", file=file, allowed=",".join(COLUMNS)))
    line, header = records[0]
    problems = _header_problems(header, line, file)
    if problems:
        raise InputError(problems)
    rows: list[PriceRow] = []
    for line, fields in records[1:]:
        row = read_row(header, fields, line=line, file=file, problems=problems)
        if row is not None:
            rows.append(row)
    problems += _clashes(rows, file)
    if not rows and not problems:
        problems.append(Problem(message="the price book has a header and no items", file=file, line=line))
    if problems:
        raise InputError(sorted(problems, key=lambda problem: problem.line or 0))
    return PriceBook(file=file, currency=rows[0].currency, invented="invented" in remarks, rows=tuple(rows))


def _decoded(text: str | bytes, file: str) -> str:
    if isinstance(text, str):
        decoded = text
    else:
        try:
            decoded = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = text[: error.start].count(b"\n") + 1
            found = f"byte 0x{text[error.start]:02x}"
            problem = Problem(message="not UTF-8 text", file=file, line=line, found=found, allowed="CSV in UTF-8")
            raise InputError(problem) from None
    for strange in ("\x00", "\ufffd"):
        if strange in decoded:
            line = decoded[: decoded.index(strange)].count("\n") + 1
            message = "a character that is not text: wrong encoding?"
            raise InputError(Problem(message=message, file=file, line=line, found=repr(strange)))
    return decoded.removeprefix("\ufeff")


def _records(text: str, file: str) -> tuple[list[tuple[int, list[str]]], str]:
    """Records with the line on which each begins, and the remarks before the header in small letters."""
    records: list[tuple[int, list[str]]] = []
    remarks = ""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        begins = 1
        for fields in reader:
            line, begins = begins, reader.line_num + 1
            if fields and fields[0].lstrip().startswith("#"):
                remarks += "" if records else ",".join(fields).lower()
            elif any(field.strip() for field in fields):
                records.append((line, [field.strip() for field in fields]))
            if len(records) > _MOST_LINES:
                raise InputError(Problem(message=f"more than {_MOST_LINES} items", file=file, line=line))
    except csv.Error as error:
        raise InputError(Problem(message=f"not readable as CSV: {error}", file=file, line=reader.line_num)) from None
    return records, remarks


def _header_problems(header: list[str], line: int, file: str) -> list[Problem]:
    allowed = ",".join(COLUMNS)
    if len(header) == 1 and ";" in header[0]:
        return [Problem(message="fields are parted by ;", file=file, line=line, found=header[0], allowed=allowed)]
    problems = [
        Problem(message="column is missing", file=file, line=line, field=name, allowed=allowed)
        for name in COLUMNS
        if name not in header
    ]
    for name in dict.fromkeys(header):
        if name not in COLUMNS:
            problems.append(Problem(message="no such column", file=file, line=line, field=name, allowed=allowed))
        elif header.count(name) > 1:
            problems.append(Problem(message="column stands twice", file=file, line=line, field=name))
    return problems


def _clashes(rows: list[PriceRow], file: str) -> list[Problem]:
    """Items that stand twice, and a second currency."""
    problems: list[Problem] = []
    first: dict[str, PriceRow] = {}
    for row in rows:
        if row.item in first:
            message = f"item already stands in line {first[row.item].line}"
            problems.append(Problem(message=message, file=file, line=row.line, field="item", found=row.item))
        first.setdefault(row.item, row)
        if row.currency != rows[0].currency:
            problems.append(
                Problem(
                    message="a book has one currency",
                    file=file,
                    line=row.line,
                    field="currency",
                    found=row.currency,
                    allowed=rows[0].currency,
                )
            )
    return problems
