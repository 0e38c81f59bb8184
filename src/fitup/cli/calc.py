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
    return Answer(found.data, found.lines, 0 if found.passed else 1)


def _rivet(args: Namespace) -> Sum:
    return desk_sums.rivet(args.size, args.grip, args.head, args.material, args.half, args.callout)


def _hole(args: Namespace) -> Sum:
    steps = parse_whole(args.steps, "--steps")
    return desk_sums.hole(args.size, args.fastener, args.source, args.pilot, steps, args.sheet)


def _cure(args: Namespace) -> Sum:
    return desk_sums.cure(
        parse_figure(args.hours, "--hours"), parse_celsius(args.temperature, "--temperature"), args.law
    )


def _layout(args: Namespace) -> Sum:
    return desk_sums.layout(args.sheet, args.width, args.size, args.joint, args.alloy, args.source)


def _straight(args: Namespace) -> Sum:
    return desk_sums.straight(_figures(args.at, "--at"), _figures(args.read, "--read"))


def _learning(args: Namespace) -> Sum:
    rate, first = parse_figure(args.rate, "--rate"), parse_figure(args.first, "--first")
    to = None if args.to is None else parse_figure(args.to, "--to")
    return desk_sums.learn(rate, first, parse_figure(args.unit, "--unit"), to)


def _blind(args: Namespace) -> Sum:
    return desk_sums.blind(args.size, args.grip, args.code)


def _countersink(args: Namespace) -> Sum:
    return desk_sums.countersink(args.size, args.sheet)


def _heads(args: Namespace) -> Sum:
    widths = _figures(args.width, "--width") if args.width else []
    heights = _figures(args.height, "--height") if args.height else []
    off = parse_figure(args.uncertainty, "--uncertainty")
    return desk_sums.shop_heads(args.size, widths, heights, args.unit, off)


def _repair(args: Namespace) -> Sum:
    pattern = parse_whole(args.pattern, "--pattern")
    return desk_sums.repair(args.size, args.hole, pattern, args.material, args.instead, args.head)


def _primer(args: Namespace) -> Sum:
    age = None if args.age is None else parse_figure(args.age, "--age")
    celsius = None if args.temperature is None else parse_celsius(args.temperature, "--temperature")
    return desk_sums.primer(args.product, age, celsius, parse_whole(args.coats, "--coats"))


def _sealant(args: Namespace) -> Sum:
    return desk_sums.sealant(args.sealant_class, parse_celsius(args.temperature, "--temperature"), args.law)


def _twist(args: Namespace) -> Sum:
    return desk_sums.twist(args.chord, parse_figure(args.degrees, "--degrees"))


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
    "blind": _blind,
    "countersink": _countersink,
    "heads": _heads,
    "repair": _repair,
    "primer": _primer,
    "sealant": _sealant,
    "twist": _twist,
}
