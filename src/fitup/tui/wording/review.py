"""The Review view: what the plan review finds, the worst first, and the rules that the plan switches off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitup.model.amounts import counted
from fitup.model.marks import LEVELS
from fitup.model.plan import Task
from fitup.tui.rows import Row, fill, row, say, wrapped

if TYPE_CHECKING:
    from fitup.model.finding import Finding
    from fitup.tui.board import Board

_ROLES = {"error": "bad", "warning": "warn", "note": "dim"}
_ORDER = tuple(LEVELS)
_WORD = 9
"""Cells of a level's word with its gap."""


def findings(board: Board) -> list[Finding]:
    """Return what the review finds, errors first, each level in the order of the rules."""
    return sorted(board.desk.review(), key=lambda finding: _ORDER.index(finding.level))


def find_finding(board: Board, key: str) -> Finding | None:
    """Return the finding of a row's key, or None."""
    return next((finding for finding in findings(board) if _key(finding) == key), None)


def finding_task(board: Board, key: str) -> Task | None:
    """Return the task that the finding of a row's key is about, or None."""
    finding = find_finding(board, key)
    return board.task(finding.where) if finding is not None else None


def review_rows(board: Board, width: int) -> list[Row]:
    """Return the view's rows: the count, a row for each finding, then what is switched off and why."""
    found = findings(board)
    rows = [row(say(f" {_counted(found)}", "section"))]
    where = max(8, min(22, width // 4))
    says = max(4, width - where - _WORD - 5)
    for finding in found:
        mark = LEVELS[finding.level]
        rows.append(
            row(
                say(f" {mark.shown(board.ascii_only)} {fill(mark.word, _WORD)}", _ROLES[finding.level]),
                say(fill(finding.where, where) + " "),
                say(fill(_without(finding.where, finding.says), says), "dim" if finding.level == "note" else ""),
                key=_key(finding),
            )
        )
    off = board.desk.switched_off()
    if off:
        rows.append(row(say(f" Switched off in this plan ({len(off)})", "section")))
    for rule, why in off:
        name = max(8, min(22, width // 4)) + _WORD + 3
        rows.append(
            row(say(f" {fill(rule, name - 1)} ", "dim"), say(fill(why, max(4, width - name - 2))), key=f"off {rule}")
        )
    return rows


def review_detail(board: Board, key: str, width: int) -> list[Row]:
    """Return a finding at length: level and rule, where, the sentence, how to mend it, where the rule comes from."""
    kind, _, rule = key.partition(" ")
    if kind == "off":
        why = dict(board.desk.switched_off()).get(rule, "")
        return [
            *wrapped(f"{rule} is switched off", width, "title"),
            *wrapped(why or "no reason given", width, "", "Because: "),
        ]
    finding = find_finding(board, key)
    if finding is None:
        return []
    mark = LEVELS[finding.level]
    lead = f"{mark.shown(board.ascii_only)} {mark.word}: "
    task = board.task(finding.where)
    place = f"{task.title} ({finding.where})" if task is not None else finding.where
    rows = wrapped(f"{finding.rule}, {place}", max(8, width), "title", lead, _ROLES[finding.level])
    rows += wrapped(_without(finding.where, finding.says), width)
    rows += wrapped(finding.mend, width, "", "Mend: ", "strong")
    rows += wrapped(finding.source or "the plan file's own rules", width, "dim", "Source: ")
    return rows


def _key(finding: Finding) -> str:
    return f"finding {finding.rule}\n{finding.where}\n{finding.says}"


def _without(where: str, says: str) -> str:
    """Return a sentence without the place that stands before it already."""
    return says.removeprefix(f"{where}: ")


def _counted(found: list[Finding]) -> str:
    if not found:
        return "The review finds nothing to say against this plan"
    counts = {level: sum(finding.level == level for finding in found) for level in _ORDER}
    return ", ".join(counted(count, level) for level, count in counts.items() if count)
