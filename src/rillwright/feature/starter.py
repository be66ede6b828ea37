"""A feature file to begin with."""

from __future__ import annotations

from rillwright.feature.yaml_text import quoted

_SIZES = {
    "us": {
        "level": "3 ft", "paving": "0 ft", "low": "6 in below paving", "oval": "[12 ft, 8 ft]", "depth": "2 ft",
        "width": "3 ft", "bed": "6 ft", "drop": "8 in", "berm": "9 in", "below": "4 in", "access": "5 ft",
        "lift": "20 ft", "flow": "5000 US gal/h", "pipe": "3 in", "lengths": "5' 7 3/8\", 67 3/8 in, 5.61 ft",
    },
    "metric": {
        "level": "0.90 m", "paving": "0 m", "low": "150 mm below paving", "oval": "[3.6 m, 2.4 m]", "depth": "600 mm",
        "width": "0.9 m", "bed": "1.8 m", "drop": "200 mm", "berm": "230 mm", "below": "100 mm", "access": "1.5 m",
        "lift": "6 m", "flow": "19000 L/h", "pipe": "90 mm", "lengths": "1.15 m, 115 cm, 1150 mm",
    },
}  # fmt: skip

_TEXT = """\
# A feature file. Lines that begin with # are remarks. Everything may be changed; what you leave out is filled in from
# defaults, and `rillwright check` lists each of them. Lengths as you write them: {lengths}.
format: 1
name: {name}
units: {units}                  # how papers print: us or metric

marks:
  # The benchmark is the fixed mark to which levels are tied. Keep a second one: terraces get broken up.
  - {{id: benchmark, role: benchmark, level: {paving}}}
  - {{id: paving, role: paving, level: {paving}}}      # where people stand; the waterline hangs from it
  - {{id: head, level: {level}}}                    # ground at the stream head
  - {{id: low, level: {low}}}       # lowest ground round the pond
# A level book gives these levels instead: name it here and leave `level` out above.
# books: [books/visit.csv]

site:
  soil: unknown
  access:
    - {{id: gate, width: {access}, machine: small loader}}   # or: mini excavator, by hand, or your own
  # services: ticket and date, once they are located. Nothing is dug before.

pond:
  id: pond
  outline: {{oval: {oval}}}              # at the waterline; or rectangle: [...], or points: [[x, y], ...]
  waterline: {below} below paving
  held: while running                           # topped up by a float valve or a hose with the pump on; or: at rest
  depth: {depth}
  rims:
    - {{id: low-side, ground: low, berm: {berm}}}     # built up where the ground is low; it settles

stream:
  id: stream
  into: pond
  head: head                                    # bed at the head lies where the ground is now
  head_ground: head
  width: {width}
  look: lively                                  # quiet, lively or loud: sets the flow over the crests
  course:                                       # from the head down; the last fall takes what height is left
    - {{bed: b1, length: {bed}}}
    - {{fall: f1, drop: {drop}}}
    - {{bed: b2, length: {bed}}}
    - {{fall: f2, drop: {drop}}}
    - {{bed: b3, length: {bed}}}
    - {{fall: f3}}

# run:                                          # your pump by the two numbers on its box, or by its curve
#   pump: {{box: {{shut_off: {lift}, greatest_flow: {flow}}}, watts: 300 W}}
#   pipe: {{name: {pipe}}}
"""


def starter(*, units: str, name: str) -> str:
    """A commented feature file that can be judged as it stands, in `us` or `metric` units."""
    return _TEXT.format(name=quoted(name), units=units, **_SIZES[units])
