"""Plan files: read whole, with every mistake in one go, and written so that they read back equal."""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from fitup.files.text_in import NotToml, shown
from fitup.model.finding import Finding
from fitup.model.refusal import Refused

if TYPE_CHECKING:
    from fitup.files.shop import Shop
    from fitup.model.plan import Plan


class PlanMistakes(Refused):
    """A plan file that is refused; the text has every mistake, one a line, as file:line: sentence."""

    def __init__(self, path: FilePath, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        super().__init__("\n".join(sentence(path, finding) for finding in findings))


def sentence(path: FilePath, finding: Finding) -> str:
    """Write a finding about the plan file `path` as one line."""
    where = shown(path) if finding.line is None else f"{shown(path)}:{finding.line}"
    return f"{where}: {finding.says}; {finding.mend}"


def read_plan(path: FilePath, shop: Shop) -> Plan:
    """Read a plan with the libraries of `shop`. Raises `PlanMistakes` with every mistake."""
    plan, findings = plan_findings(path, shop)
    if plan is None:
        raise PlanMistakes(path, findings)
    return plan


def plan_findings(path: FilePath, shop: Shop) -> tuple[Plan | None, tuple[Finding, ...]]:
    """Return the plan, or None and every mistake, in the order of the file.

    Raises `Refused` where there is nothing to read: no file, no rights, too large.
    """
    draft, findings = plan_draft(path, shop)
    return (None if findings else draft), findings


def plan_draft(path: FilePath, shop: Shop) -> tuple[Plan | None, tuple[Finding, ...]]:
    """Return what could be read of a plan and every mistake.

    Unlike `plan_findings` it also gives a plan that is refused for unknown ids, ids given twice or
    a circle, so that the review can look at the rest. Raises `Refused` as `plan_findings` does.
    """
    from fitup.files.plan_reader import Reader
    from fitup.files.text_in import parse_toml, read_text

    try:
        text = read_text(path, "plan")
        raw = parse_toml(text, path)
    except NotToml as broken:
        return None, (Finding("toml", "error", path.name, broken.says, broken.mend, line=broken.line),)
    reader = Reader(path, text, raw, shop)
    _, findings = reader.read()
    return reader.draft, findings


def write_plan(plan: Plan) -> str:
    """Write a plan as TOML, complete in itself; reading it gives an equal plan."""
    from fitup.files.plan_writer import plan_text

    return plan_text(plan)


def plan_keys() -> str:
    """Return the text of `help plan`: every key of a plan file with type, default and meaning."""
    from fitup.files.plan_help import keys_text

    return keys_text()
