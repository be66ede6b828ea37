"""A made site with two known leaks, invented: a rim an inch low behind a boulder between two good readings, and a lap
whose upturn lies under the water of a day on which somebody topped it up while it ran.
"""

from __future__ import annotations

from rillwright.assess import Inputs, assess
from rillwright.assessment import Finding, Judged, NotRun
from rillwright.feature import Document, complete
from rillwright.judge import judge
from rillwright.sources import price_book

BOULDER = "  - {id: boulder, level: 2 1/2 in, surface: ground, at: [4.3 ft, 2.95 ft]}\n"
TEXT = """\
format: 1
name: Made leak
invented: yes
units: us
marks:
  - {id: pin, role: benchmark, level: 0 in}
  - {id: terrace, role: paving, level: 8 in, at: [0 ft, -12 ft]}
  - {id: n1, level: 6 1/2 in, surface: ground, at: [-10 ft, 16 ft]}
  - {id: n2, level: 6 1/2 in, surface: ground, at: [10 ft, 16 ft]}
  - {id: s1, level: 6 in, surface: ground, at: [-10 ft, -12 ft]}
  - {id: s2, level: -6 in, surface: ground, at: [16 ft, 6 ft]}
  - {id: e1, level: 5 1/2 in, surface: ground, at: [8 ft, -12 ft]}
  - {id: lawn, level: 0 in, surface: ground, at: [10 ft, 5 ft]}
  - {id: near1, level: 6 in, surface: ground, at: [2.6 ft, 4.4 ft]}
  - {id: near2, level: 6 in, surface: ground, at: [6.2 ft, 2.0 ft]}
BOULDER_
site:
  footings:
    - {id: house, line: [[20 ft, -10 ft], [20 ft, 20 ft]], base: -30 in}
pond:
  id: pond
  waterline: 0 in
  held: at rest
  outline: {oval: [12 ft, 8 ft]}
  depth: 24 in
  side: 4
  shelf: none
  rims:
    - {id: east, ground: 6 in, at: [6.2 ft, 0 ft], cover: stone}
BERM_
    - {id: north, ground: 6 in, at: [0 ft, 4.3 ft], cover: stone}
    - {id: west, ground: 6 in, at: [-6.2 ft, 0 ft], cover: stone}
    - {id: south, ground: 6 in, at: [0 ft, -4.3 ft], cover: stone}
stream:
  id: rill
  head: 22 in
  head_ground: 22 in
  width: 30 in
  bank: 12 in
  path: [[-14 ft, 6 ft], [-5.8 ft, 1 ft]]
  course:
    - {bed: b1, length: 4 ft}
    - {fall: f1, drop: 4 in}
    - {bed: b2}
    - {fall: f2}
run:
  pump: {box: {shut_off: 14 ft, greatest_flow: 4000 gal/h}}
  pipe: {name: 2 in}
  length: 20 ft
laps:
  - {id: lap, at: f2, upturn: UPTURN_, run: 24 in, cover: stone}
"""


def site(*, boulder: str = BOULDER, berm: str = "", upturn: str = "6 in") -> Judged:
    """The site, judged: `boulder` the mark of the low place, `berm` a rim that mends it."""
    text = TEXT.replace("BOULDER_\n", boulder).replace("BERM_\n", berm).replace("UPTURN_", upturn)
    feature = complete(Document.read(text, file="feature.yaml"))
    return judge(assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())))


def found(judged: Judged, code: str, element: str) -> Finding | None:
    """The finding of that code on that element, unless it is ok."""
    every = [each for each in judged.findings if (each.code, each.element) == (code, element)]
    return next((each for each in every if each.severity != "ok"), None)
