"""The `calc` commands: the trade's sums as text and as JSON, without a project."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable

from fitup import desk_sums
from fitup.cli.answer import Answer
from fitup.cli.values import parse_figure, parse_whole
from fitup.desk_sums import Sum
from fitup.model.amounts import clean, counted, parse_celsius
from fitup.model.refusal import Refused

_MOST_FIGURES = 10_000


def calc(args: Namespace) -> Answer:
    """Answer with the sum that is asked for; `Refused` passes through."""
    found = _SUMS[args.sum](args)
    return Answer(found.data, found.lines)


def _rivet(args: Namespace) -> Sum:
    return desk_sums.rivet(args.size, args.grip, args.head, args.material, args.half, args.callout)


def _hole(args: Namespace) -> Sum:
    steps = parse_whole(args.steps, "--steps")
    return desk_sums.hole(args.size, args.fastener, args.source, args.pilot, steps)


def _cure(args: Namespace) -> Sum:
    return desk_sums.cure(
        parse_figure(args.hours, "--hours"), parse_celsius(args.temperature, "--temperature"), args.law
    )


def _layout(args: Namespace) -> Sum:
    return desk_sums.layout(args.sheet, args.width, args.size, args.joint, args.alloy, args.source)


def _straight(args: Namespace) -> Sum:
    return desk_sums.straight(_figures(args.at, "--at"), _figures(args.read, "--read"))


def _learning(args: Namespace) -> Sum:
    return desk_sums.learn(
        parse_figure(args.rate, "--rate"), parse_figure(args.first, "--first"), parse_figure(args.unit, "--unit")
    )


def _figures(text: str, what: str) -> list[float]:
    words = [word for word in text.replace(",", " ").split() if word]
    if len(words) > _MOST_FIGURES:
        raise Refused(f"{what} has {counted(len(words), 'figure')}; give at most {_MOST_FIGURES}")
    if not words:
        raise Refused(f"{what} {clean(text)!r} has no figures; write them with commas: 0,0.9,1.8")
    return [parse_figure(word, what) for word in words]


_SUMS: dict[str, Callable[[Namespace], Sum]] = {
    "rivet": _rivet,
    "hole": _hole,
    "cure": _cure,
    "layout": _layout,
    "straight": _straight,
    "learning": _learning,
}
