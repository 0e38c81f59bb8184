"""The error of this layer: figures that make no sense, told in one sentence."""

from __future__ import annotations

from fitup.model.refusal import Refused


class Mistake(Refused, ValueError):
    """Figures of the wrong shape or range; the text says what, where and how to mend it."""


class BrokenTable(Mistake):
    """A table of trade facts that cannot be read or lacks something; the text names the table."""
