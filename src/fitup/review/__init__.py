"""Looks a plan over for what would go wrong at the bench: one function a rule."""

from fitup.review.registry import RULES, review, switched_off
from fitup.review.rule import Ground, Rule
from fitup.review.waived import waived

__all__ = ["RULES", "Ground", "Rule", "review", "switched_off", "waived"]
