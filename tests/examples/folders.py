"""The job folders under examples/, taken through the layers one by one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from rillwright.feature import Document, Feature, KnownPoint, complete
from rillwright.shape import Shape, shape
from rillwright.survey import Survey, read_book, reduce
from rillwright.water import PumpPoint, Water, water

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("weavers-court", "orchard-press", "clinic-forecourt")
FT, IN = 0.3048, 0.0254


@dataclass(frozen=True)
class Worked:
    """One example, worked through."""

    document: Document
    survey: Survey
    feature: Feature
    shape: Shape
    water: Water

    def pump(self, run: str) -> PumpPoint:
        return {point.run: point for point in self.water.circuit.pumps}[run]


@cache
def worked(name: str) -> Worked:
    """Book to levels, levels to feature, feature to shape and water."""
    folder = EXAMPLES / name
    document = Document.read((folder / "feature.yaml").read_text(encoding="utf-8"), file="feature.yaml")
    books = [read_book((folder / book).read_text(encoding="utf-8"), file=book) for book in document.said.books]
    survey = reduce(books, datum=document.said.datum)
    points = {point.id: KnownPoint(point.level, point.at) for point in survey.points}
    feature = complete(document, points)
    drawn = shape(feature)
    return Worked(document, survey, feature, drawn, water(feature, drawn))
