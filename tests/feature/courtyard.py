"""A feature file for the tests, invented: two ponds, two streams, everything said at least once."""

TEXT = """\
# Invented for the tests.
format: 1
name: Weavers' Court
invented: yes
units: metric
revision: B
books: []
marks:
  - {id: pin, role: benchmark, level: 0 m, at: [0 m, 0 m]}   # brass pin
  - {id: terrace, role: paving, level: 0.12 m}
  - {id: knoll, level: 0.90 m, at: [1 m, 6 m]}
  - id: gully
    level: 20 cm below pin
site:
  north: 30 deg
  soil: unknown
  groundwater: 2 m below terrace
  access:
    - {width: 1.1 m}
  footings:
    - line: [[-3 m, 0 m], [-3 m, 4 m]]
      base: 0.6 m below terrace
ponds:
  - id: basin
    outline: {oval: [4 m, 2.6 m], turn: 0 deg}
    depth: 70 cm
    side: 2
    shelf: {width: 30 cm, depth: 25 cm}
    rims:
      - ground: 0.05 m
        berm: 10 cm          # built up on the low side
  - id: sump
    kind: reservoir
    outline: {points: [[6 m, 0 m], [6 m, 1 m], [8 m, 1 m], [8 m, 0 m]]}
    waterline: gully
    depth: 0.8 m
streams:
  - id: rill
    into: basin
    head: knoll
    head_ground: knoll
    width: 0.8 m
    course:
      - {bed: b1, length: 2 m, pitch: 10 mm}
      - {fall: f1, drop: 200 mm}
      - bed: b2
        length: 1.5 m
        pitch: -5 mm
      - fall: f2
  - id: gutter
    into: sump
    head: 30 cm above gully
    course:
      - {bed: g1}
      - {fall: h1}
runs:
  - {from: basin, to: rill, pump: {box: {shut_off: 6 m, greatest_flow: 9 m3/h}, watts: 250 W}, pipe: {name: 63 mm}}
  - {from: sump, to: gutter}
laps:
  - {at: f2, upturn: 15 cm above ponds/basin.waterline}
limits:
  - {limit: falls.last, value: 20 cm, reason: the customer asked for a low last fall}
built:
  - {at: falls/f1.crest, level: 0.95 m}
"""
