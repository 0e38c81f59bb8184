"""The characters that lines are drawn with: three sets, chosen by what the terminal can show.

Solid lines are strong, broken ones faint. A crossing always means that both lines go straight on. In the ASCII set a
corner that is open downwards is `.`, one that is open upwards is `'`, and `+` is only ever a crossing; its other arm is
on the side where the next cell is part of a sideways line, and there is never one on both sides.
"""

from dataclasses import dataclass

UP, DOWN, LEFT, RIGHT = 1, 2, 4, 8


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set of characters. `corners` are open to: down+right, down+left, up+right, up+left."""

    name: str
    strong: tuple[str, str]
    faint: tuple[str, str]
    corners: tuple[str, str, str, str]
    cross: str
    head: str
    fill: str
    ascii: bool = False

    def table(self, strong: bool) -> dict[int, str]:
        """Glyph for each mask of arms."""
        upright, flat = self.strong if strong else self.faint
        down_right, down_left, up_right, up_left = self.corners
        return {
            UP | DOWN: upright,
            LEFT | RIGHT: flat,
            DOWN | RIGHT: down_right,
            DOWN | LEFT: down_left,
            UP | RIGHT: up_right,
            UP | LEFT: up_left,
            UP | DOWN | LEFT | RIGHT: self.cross,
        }


ROUND = Glyphs(
    "round",
    ("\u2502", "\u2500"),
    ("\u254e", "\u254c"),
    ("\u256d", "\u256e", "\u2570", "\u256f"),
    "\u253c",
    "\u25b2",
    "\u00b7",
)
SQUARE = Glyphs(
    "square", ("\u2502", "\u2500"), (":", "-"), ("\u250c", "\u2510", "\u2514", "\u2518"), "\u253c", "^", "\u00b7"
)
ASCII = Glyphs("ascii", ("|", "-"), (":", "~"), (".", ".", "'", "'"), "+", "^", "_", ascii=True)
SETS = (ROUND, SQUARE, ASCII)
