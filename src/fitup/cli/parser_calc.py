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
    hole.add_argument("--sheet", metavar="0.032in", default="", help="its thickness: how deep it may be deburred")
    _source(hole)
    cure = add("cure", "how long a cure takes at a temperature")
    cure.add_argument("--hours", metavar="N", required=True, help="at 77F, as the product's sheet states them")
    _shop(cure)
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
    learning.add_argument("--to", metavar="165", help="and all pieces up to this one")
    _add_more(add)


def _add_more(add: Callable[[str, str], argparse.ArgumentParser]) -> None:
    """Add the sums for what is driven, drilled out, mixed and sprayed."""
    blind = add("blind", "the pull-type rivet of a grip, its hole, and whether one at hand fits")
    _size(blind)
    blind.add_argument("--grip", metavar="0.1in", required=True, help="all sheets together: 0.1in or 2.5mm")
    blind.add_argument("--code", metavar="42", default="", help="of the rivet at hand: does it fit?")
    countersink = add("countersink", "countersink or dimple: what each source lets a sheet be")
    _size(countersink)
    countersink.add_argument("--sheet", metavar="0.032in", required=True, help="thickness")
    heads = add("heads", "whether measured driven heads pass")
    _size(heads)
    heads.add_argument("--width", metavar="0.19,0.18", default="", help="of each head, with commas")
    heads.add_argument("--height", metavar="0.06,0.058", default="", help="of each head, in the same order")
    heads.add_argument("--unit", choices=["in", "mm"], default="in", help="of the figures (in)")
    heads.add_argument("--uncertainty", metavar="0.002", default="0", help="how far a figure may be off (0)")
    repair = add("repair", "what may go into a hole too large: a rivet drilled out, a hole drilled twice")
    _size(repair)
    repair.add_argument("--hole", metavar="0.135in", default="", help="what the hole measures")
    repair.add_argument("--pattern", metavar="N", default="0", help="rivets in the joint: how many may be oversize")
    repair.add_argument("--material", metavar="D", default="AD", help="alloy called for: letter code or number (AD)")
    repair.add_argument("--instead", metavar="AD", default="", help="alloy at hand: may it stand in?")
    repair.add_argument("--head", default="universal", help="universal or flush (universal)")
    primer = add("primer", "when a primer may be used, coated again, and how thick it should be")
    primer.add_argument("--product", metavar="NAME", default="MIL-PRF-23377", help="its specification (MIL-PRF-23377)")
    primer.add_argument("--age", metavar="HOURS", help="how long ago the last coat went on")
    primer.add_argument("--temperature", metavar="64F", help="of the shop: 18C or 64F")
    primer.add_argument("--coats", metavar="N", default="1", help="for the thickness of the film (1)")
    sealant = add("sealant", "how long a class of sealant may be worked")
    sealant.add_argument("--class", dest="sealant_class", metavar="B-2", required=True, help="as on the tin")
    _shop(sealant)
    twist = add("twist", "what an angle of twist is at the end of a chord")
    twist.add_argument("--chord", metavar="50in", required=True, help="length that twists: 50in or 1270mm")
    twist.add_argument("--degrees", metavar="0.2", required=True, help="difference of the angles of two stations")


def _shop(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--temperature", metavar="59F", default="25C", help="of the shop: 18C or 64F (25C)")
    parser.add_argument("--law", default="none", help="none, or double-18F: twice as long per 18 F colder (none)")


def _size(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--size", metavar="1/8", required=True, help="rivet diameter in inches, or 3.2mm")


def _source(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--source", metavar="WORD", default="", help="only from the source with this in its name")
