"""The papers of a job: one PDF, the same numbers as JSON, and tables as CSV."""

from __future__ import annotations

import json
from pathlib import Path

from msgspec import Struct

from rillwright.assessment import Judged, NotRun
from rillwright.build import SiteDay, day_table
from rillwright.errors import OutputError
from rillwright.job.files import write_whole
from rillwright.job.opening import Job, judge, readings_of
from rillwright.job.staking import stakes_csv, stakes_to_go
from rillwright.judge import to_json
from rillwright.progress import Progress, silent


class Papers(Struct, frozen=True, kw_only=True):
    """Where the papers of a job lie."""

    pdf: Path
    others: tuple[Path, ...]


def papers(
    job: Job,
    judged: Judged,
    out: Path,
    *,
    date: str = "",
    site_day: SiteDay | None = None,
    tables: bool = True,
    over: bool = False,
    progress: Progress = silent,
) -> Papers:
    """Write the packet, and beside it the JSON and the CSV tables unless `tables` is false.

    What was judged without its finished surface is judged with it first: its pages show it.

    Raises
    ------
    OutputError
        If `out` is no PDF, if one of the files is there already and `over` is false, or if one of them is what the job
        is read from; then none is written.
    """
    if out.suffix.lower() != ".pdf":
        raise OutputError(f"{out}: the papers are one PDF; name a file that ends in .pdf")
    from rillwright.packet import DayReadings, packet, tables_csv

    if isinstance(judged.assessment.finished, NotRun):
        judged = judge(job, earlier=judged, tier="surface", progress=progress)
    build = judged.assessment.build
    day = None
    if site_day is not None and not isinstance(build, NotRun):
        day = DayReadings(day=site_day, readings=day_table(build.stakes, site_day))
    wanted: dict[Path, bytes] = {}
    stem = out.with_suffix("")
    if tables:
        text = json.dumps(to_json(judged), indent=1, ensure_ascii=False, allow_nan=False)
        wanted[stem.with_name(stem.name + ".json")] = text.encode()
        for name, table in tables_csv(judged).items():
            wanted[stem.with_name(f"{stem.name}-{name}.csv")] = table.encode("utf-8")
        wanted[stem.with_name(f"{stem.name}-surveyor.csv")] = stakes_csv(judged).encode("utf-8")
    wanted[out] = packet(
        judged,
        readings=readings_of(job),
        date=date,
        site_day=day,
        to_go=stakes_to_go(judged, site_day=site_day),
        progress=progress,
    )
    own = {path.resolve() for path in job.read_from}
    taken = [path for path in wanted if path.exists() and (not over or path.resolve() in own)]
    if taken:
        raise OutputError("\n".join(f"{path}: is there already and is not written over" for path in taken))
    for path, content in wanted.items():
        write_whole(path, content, over=over)
    return Papers(pdf=out, others=tuple(path for path in wanted if path != out))
