"""The grammar of `fitup calc`: the trade's sums, each with its own options."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any


def add_calc(
    commands: Any, parser_class: type[argparse.ArgumentParser], common: Callable[[argparse.ArgumentParser], None]
) -> None:
    """Add `calc` and its sums; `common` adds the options of every command."""
    says = "the trade's sums with their sources; needs no project"
    calc = commands.add_parser("calc", help=says, description=says, allow_abbrev=False)
    common(calc)
    sums = calc.add_subparsers(dest="sum", metavar="SUM", required=True, parser_class=parser_class)

    def add(name: str, says: str) -> argparse.ArgumentParser:
        parser: argparse.ArgumentParser = sums.add_parser(name, help=says, description=says, allow_abbrev=False)
        common(parser)
        return parser

    rivet = add("rivet", "part number, length and protrusion of a solid rivet; code of a blind one")
    _size(rivet)
    rivet.add_argument("--grip", metavar="0.125in", required=True, help="all sheets together: 0.125in or 3.2mm")
    rivet.add_argument("--head", default="universal", help="universal, flush, blind (universal)")
    rivet.add_argument("--material", default="AD", help="letter code or alloy: AD, 2117-T4 (AD)")
    rivet.add_argument("--half", action="store_true", help="half lengths are at hand")
    rivet.add_argument("--callout", default="", help="what the kit calls for; it wins over the sum")
    hole = add("hole", "the final drill of a rivet, and the steps up to it")
    _size(hole)
    hole.add_argument("--fastener", choices=["solid", "blind"], default="solid")
    hole.add_argument("--pilot", metavar="DRILL", default="", help="the hole that is there: #40, 1/8, 3.3mm")
    hole.add_argument("--steps", metavar="K", default="1", help="drills from the pilot up, the final one included (1)")
    _source(hole)
    cure = add("cure", "how long a cure takes at a temperature")
    cure.add_argument("--hours", metavar="N", required=True, help="at 77F, as the product's sheet states them")
    cure.add_argument("--temperature", metavar="59F", default="25C", help="of the shop: 18C or 64F (25C)")
    cure.add_argument("--law", default="none", help="none, or double-18F: twice as long per 18 F colder (none)")
    layout = add("layout", "how many rivets a splice needs, by FAA AC 43.13-1B")
    layout.add_argument("--sheet", metavar="0.032in", required=True, help="thickness")
    layout.add_argument("--width", metavar="10in", required=True)
    _size(layout)
    layout.add_argument("--joint", default="lap", help="full, lap, stringer or frame (lap)")
    layout.add_argument("--alloy", default="2024-T3", help="of the sheet (2024-T3)")
    _source(layout)
    straight = add("straight", "how far readings are from a straight line")
    straight.add_argument("--at", metavar="0,0.9,1.8", required=True, help="places, with commas; --at=-1,2 below 0")
    straight.add_argument("--read", metavar="5.9,5.4,4.4", required=True, help="readings, in the same unit")
    learning = add("learning", "what a later piece takes when the first took so long")
    learning.add_argument("--rate", metavar="0.85", required=True, help="what is left after doubling the number")
    learning.add_argument("--first", metavar="100", required=True, help="time of the first piece")
    learning.add_argument("--unit", metavar="125", required=True, help="which piece")


def _size(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--size", metavar="1/8", required=True, help="rivet diameter in inches, or 3.2mm")


def _source(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--source", metavar="WORD", default="", help="only from the source with this in its name")
