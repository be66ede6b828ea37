"""What a level book comes to: readings to levels."""

from rillwright.survey.result import Doubt, Loop, PageCheck, SetUp, Survey, SurveyedPoint

__all__ = ["Doubt", "Loop", "PageCheck", "SetUp", "Survey", "SurveyedPoint"]
