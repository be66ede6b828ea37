"""Feature to Assessment: the steps, in the order in which water and builder meet them."""

from rillwright.assess.assessing import assess
from rillwright.assess.inputs import Inputs
from rillwright.assess.steps import STEPS, Step

__all__ = ["STEPS", "Inputs", "Step", "assess"]
