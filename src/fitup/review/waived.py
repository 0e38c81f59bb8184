"""What waivers have let go: the one finding of the review that looks at what happened, not at the plan alone."""

from __future__ import annotations

from fitup.model.finding import Finding
from fitup.model.progress import Project
from fitup.readiness import Readiness, let_go, mind

WAIVED = "waived"
"""The name under which a plan may switch this finding off."""


def waived(project: Project, readiness: Readiness) -> tuple[Finding, ...]:
    """Return what no longer holds a task because a check was waived and it was held through that check alone."""
    if WAIVED in {rule_id for rule_id, _ in project.plan.review_off}:
        return ()
    found: list[Finding] = []
    for task_id in dict.fromkeys(task for task, _, _ in project.progress.waivers if task in project.plan.task):
        for hold in readiness.holds[task_id]:
            if hold.state != "waived" or hold.kind != "check":
                continue
            done = readiness.states[task_id] == "done"
            mend = f"do that work and look at {task_id} again" if done else f"do that work before {task_id}"
            found += [
                Finding(
                    WAIVED,
                    "warning",
                    task_id,
                    f"its check {hold.hold.until} is waived. {says}",
                    mend,
                    "follows from the journal",
                )
                for says in mind(let_go(readiness, hold), readiness.now)
            ]
    return tuple(found)
