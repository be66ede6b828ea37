"""Jobs against each other: what changed, alternatives side by side, and the order for a change on paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from rillwright.assessment import Judged
from rillwright.compare import Changes, KeyTable, change_order, changes_json, compare, compare_many, table_json
from rillwright.errors import InputError, OutputError, Problem
from rillwright.job.files import write_whole
from rillwright.job.opening import Job, judge, open, readings_of

MOST = 12  # alternatives that anybody can look at side by side


class Compared(Struct, frozen=True, kw_only=True):
    """Jobs, how they were judged, and what changed from the first to each of the others."""

    names: tuple[str, ...]
    jobs: tuple[Job, ...]
    judged: tuple[Judged, ...]
    changes: tuple[Changes, ...]
    table: KeyTable

    def as_json(self) -> dict[str, object]:
        """Everything as JSON: the table, and the changes from the first to each of the others."""
        first = self.judged[0]
        pairs = zip(self.changes, self.judged[1:], strict=True)
        return {
            "table": table_json(self.table),
            "from": self.names[0],
            "to": [
                {"name": name, **changes_json(changes, first, after)}
                for name, (changes, after) in zip(self.names[1:], pairs, strict=True)
            ],
        }


def compare_jobs(paths: Sequence[Path | str]) -> Compared:
    """Open and judge two jobs or more, and compare each with the first.

    Raises
    ------
    InputError
        If there are too few or too many, or with all that is wrong in any of them.
    """
    if not 2 <= len(paths) <= MOST:
        problem = Problem(message="cannot be compared", found=f"{len(paths)} jobs", allowed=f"2 to {MOST} of them")
        raise InputError(problem)
    jobs = _opened(paths)
    judged = tuple(judge(one) for one in jobs)
    names = _told_apart([one.feature.name for one in jobs], [str(path) for path in paths])
    return Compared(
        names=names,
        jobs=jobs,
        judged=judged,
        changes=tuple(compare(judged[0], other) for other in judged[1:]),
        table=compare_many(tuple(zip(names, judged, strict=True))),
    )


def _opened(paths: Sequence[Path | str]) -> tuple[Job, ...]:
    """All of them, or every problem of all of them at once."""
    jobs: list[Job] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            jobs.append(open(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(jobs)


def _told_apart(names: Sequence[str], paths: Sequence[str]) -> tuple[str, ...]:
    """Names of the features, with their paths where two are called the same."""
    return tuple(
        name if names.count(name) == 1 else f"{name} ({path})" for name, path in zip(names, paths, strict=True)
    )


def order_paper(
    compared: Compared,
    out: Path,
    *,
    date: str = "",
    asked_by: str = "",
    why: str = "",
    over: bool = False,
) -> Path:
    """Write the change order from the first job to the second as one PDF.

    Raises
    ------
    OutputError
        If `out` is no PDF, is there already and `over` is false, or is what one of the jobs is read from.
    """
    from rillwright.packet import change_order_paper

    if out.suffix.lower() != ".pdf":
        raise OutputError(f"{out}: a change order is a PDF; name a file that ends in .pdf")
    before, after = compared.judged[:2]
    order = change_order(before, after, date=date, asked_by=asked_by, why=why)
    content = change_order_paper(order, after, readings=readings_of(compared.jobs[1]))
    own = {path.resolve() for job in compared.jobs for path in job.read_from}
    write_whole(out, content, over=over and out.resolve() not in own)
    return out
