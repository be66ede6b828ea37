"""A made site, invented, on which one stream runs into a bed of another, for the tests of every layer."""

from __future__ import annotations

from rillwright.feature import Document, Feature, complete

# the main stream comes straight down the sheet; the side one comes in from its left, over the right bank of the other
SITE = """
format: 1
name: Two becks
note: Invented, for tests only.
invented: yes
units: metric
datum: peg
marks:
  - {id: peg, role: benchmark, level: 0 m, at: [9 m, 0 m]}
  - {id: slab, role: paving, level: 0.12 m, at: [5 m, -1 m]}
  - {id: low, role: point, level: 0.10 m, at: [0 m, -2.6 m]}
  - {id: west, role: point, level: 0.12 m, at: [-4 m, 0 m]}
  - {id: east, role: point, level: 0.12 m, at: [4 m, 0 m]}
  - {id: north-west, role: point, level: 0.70 m, at: [-6 m, 9 m]}
  - {id: north-east, role: point, level: 0.70 m, at: [4 m, 9 m]}
site: {soil: loam, north: 0 deg}
pond:
  id: pond
  outline: {oval: [6 m, 4 m], centre: [0 m, 0 m]}
  waterline: 0 m
  held: while running
  depth: 0.7 m
  shelf: {width: 0.3 m, depth: 0.25 m}
  rims:
    - {id: r-low, ground: low, berm: 60 mm, at: [0 m, -2.2 m]}
    - {id: r-west, ground: west, at: [-3.2 m, 0 m]}
    - {id: r-east, ground: east, at: [3.2 m, 0 m]}
streams:
  - id: main
    into: pond
    head: 0.70 m
    head_ground: 0.70 m
    width: 0.9 m
    path: [[0 m, 8 m], [0 m, 2 m]]
    course:
      - {bed: upper, length: 2.4 m, pitch: 10 mm}
      - {fall: over, drop: 0.16 m, crest_width: 0.4 m, stone_depth: 0.3 m, spill_stone: 40 mm}
      - {bed: meeting, pitch: 10 mm, width: 1.2 m}
      - {fall: last, crest_width: 0.7 m, stone_depth: 0.3 m, spill_stone: 40 mm}
  - id: side
    into: meeting
    head: 0.80 m
    head_ground: 0.75 m
    width: 0.8 m
    path: [[-5 m, 6.4 m], [-3 m, 4.4 m], [-0.6 m, 4.4 m]]
    course:
      - {bed: side-upper, length: 2.8 m, pitch: 10 mm}
      - {fall: side-over, drop: 0.10 m, crest_width: 0.3 m, stone_depth: 0.3 m, spill_stone: 40 mm, ripple: yes}
      - {bed: side-lower, pitch: 10 mm}
      - {fall: mouth, crest_width: 0.4 m, stone_depth: 0.3 m, spill_stone: 40 mm}
run:
  id: feed
  pump: {id: pump, curve: [[0 m3/h, 4 m], [6 m3/h, 3 m], [10 m3/h, 1.2 m]], watts: 120 W}
  pipe: {inside: 50 mm}
  length: 8 m
  outlets:
    - {id: to-main, to: main, wanted: 3 m3/h, length: 2 m}
    - {id: to-side, to: side, wanted: 2 m3/h, length: 5 m}
climate: {design_rain: {depth: 40 mm, lasts: 1 h}, latitude: 50 deg}
supply: {hose: 10 L/min}
"""


def joined(text: str = SITE) -> Feature:
    """The site as a feature, or another text like it."""
    return complete(Document.read(text, file="feature.yaml"))
