"""Readers of the formats in which scheduling problems with known best answers are published; tests only.

`.sm`: PSPLIB, single mode (Kolisch and Sprecher 1997, EJOR 96(1) 205-216). `.sch`: ProGen/max, lags
from begin to begin (Franck, Neumann and Schwindt 2001, OR Spektrum 23, 297-324). `.rcp` with
consumption and production (Kone, Artigues, Lopez and Mongeau 2013, Flexible Services and
Manufacturing Journal 25, 25-47); what its dummy source and sink take and give does not count.
"""

from __future__ import annotations

from re import findall

from fitup.session.whole_plan import Job, Lag, WholePlan


def _numbers(line: str) -> list[int]:
    return [int(number) for number in findall(r"-?\d+", line)]


def read_sm(text: str) -> WholePlan:
    """Return the problem of a PSPLIB single-mode file."""
    rows = text.splitlines()
    place = {name: at for at, row in enumerate(rows) for name in _HEADINGS if row.startswith(name)}
    total = _numbers(next(row for row in rows if row.startswith("jobs")))[0]
    lags = []
    for row in rows[place["PRECEDENCE"] + 2 : place["PRECEDENCE"] + 2 + total]:
        job, _, _, *later = _numbers(row)
        lags += [Lag(job - 1, other - 1, 0, "end") for other in later]
    first = place["REQUESTS"] + 3
    jobs = []
    for row in rows[first : first + total]:
        _, _, minutes, *amounts = _numbers(row)
        jobs.append(Job(minutes, tuple((f"R{k}", amount) for k, amount in enumerate(amounts, 1) if amount)))
    have = _numbers(rows[place["RESOURCEAVAIL"] + 2])
    return WholePlan(tuple(jobs), tuple(lags), {f"R{k}": amount for k, amount in enumerate(have, 1)}, {})


_HEADINGS = ("PRECEDENCE", "REQUESTS", "RESOURCEAVAIL")


def read_sch(text: str) -> WholePlan:
    """Return the problem of a ProGen/max file."""
    rows = [_numbers(row) for row in text.splitlines() if row.strip()]
    total = rows[0][0] + 2
    lags = []
    for row in rows[1 : 1 + total]:
        job, count = row[0], row[2]
        pairs = zip(row[3 : 3 + count], row[3 + count : 3 + 2 * count], strict=True)
        lags += [Lag(job, later, minutes) for later, minutes in pairs]
    jobs = [
        Job(row[2], tuple((f"R{k}", amount) for k, amount in enumerate(row[3:], 1) if amount))
        for row in rows[1 + total : 1 + 2 * total]
    ]
    # no job ends after the last one, which the lags to it do not always say
    lags += [Lag(job, total - 1, 0, "end") for job in range(total - 1)]
    return WholePlan(tuple(jobs), tuple(lags), {f"R{k}": amount for k, amount in enumerate(rows[1 + 2 * total], 1)}, {})


def read_rcp(text: str) -> WholePlan:
    """Return the problem of a file with consumption and production."""
    rows = [_numbers(row) for row in text.splitlines() if row.strip()]
    total, means, stores = rows[0]
    jobs, lags = [], []
    for index, row in enumerate(rows[2 : 2 + total]):
        minutes, rest = row[0], row[1:]
        uses = tuple((f"R{k}", amount) for k, amount in enumerate(rest[:means]) if amount)
        moves = rest[means : means + 2 * stores]
        inner = 0 < index < total - 1
        takes = tuple((f"S{k}", moves[2 * k]) for k in range(stores) if inner and moves[2 * k])
        gives = tuple((f"S{k}", moves[2 * k + 1]) for k in range(stores) if inner and moves[2 * k + 1])
        jobs.append(Job(minutes, uses, takes, gives))
        count, *later = rest[means + 2 * stores :]
        lags += [Lag(index, other - 1, 0, "end") for other in later[:count]]
    have = {f"R{k}": amount for k, amount in enumerate(rows[1][:means])}
    stock = {f"S{k}": amount for k, amount in enumerate(rows[1][means : means + stores])}
    return WholePlan(tuple(jobs), tuple(lags), have, stock)
