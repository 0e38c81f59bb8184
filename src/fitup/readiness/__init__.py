"""What may be worked on now, what holds the rest, and what the whole waits for longest."""

from fitup.readiness.critical import Chain, critical_chain, tails_of
from fitup.readiness.judging import closed_bays, judge
from fitup.readiness.let_go import LetGo, let_go, mind
from fitup.readiness.network import Network, cpm
from fitup.readiness.roots import Root, chain, roots, roots_of
from fitup.readiness.values import HoldState, Readiness, TaskState

__all__ = [
    "Chain",
    "HoldState",
    "LetGo",
    "Network",
    "Readiness",
    "Root",
    "TaskState",
    "chain",
    "closed_bays",
    "cpm",
    "critical_chain",
    "judge",
    "let_go",
    "mind",
    "roots",
    "roots_of",
    "tails_of",
]
