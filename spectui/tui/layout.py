"""Where each panel of the desk stands, for every size of the terminal. Pure: cells in, boxes out."""

from __future__ import annotations

from typing import NamedTuple

SMALLEST = (80, 24)
SHELF = 38
# The shelf stands beside the picture from this width on; below it slides over.
BESIDE = 110
# Two panes side by side need this much.
APART = 100
# Band differences are drawn as bars from this height on.
BARS = 36
# From this height on panels stand a blank row apart.
ROOMY = 30
GUTTER, FIRST, OTHER = 6, 13, 12
LOWEST_CHART = 11


class Box(NamedTuple):
    """Cells from column x, row y."""

    x: int
    y: int
    width: int
    height: int


class Layout(NamedTuple):
    """boxes: panel → Box, absent where a panel is not shown. strips: how many rows of cards, `across` in each.

    beside: the shelf stands beside the picture and does not cover it. apart: two panes. bars: drawn as such.
    """

    boxes: dict[str, Box]
    strips: int = 1
    across: int = 6
    beside: bool = False
    apart: bool = False
    small: bool = False
    bars: bool = False
    roomy: bool = False

    def pane(self, box: Box) -> int:
        """Return the width of one of two panes in a box."""
        return (box.width - 4) // 2


def shelf_shown(wanted: bool | None, width: int, rows: int, apart: bool) -> bool:
    """Return whether the shelf is shown: as the user wants it, else where it has room and something to choose from."""
    return wanted if wanted is not None else width >= BESIDE and rows > 1 and not apart


def across(width: int) -> int:
    """Return how many cards stand side by side in a strip."""
    return max(1 + (width - GUTTER - FIRST + 1) // OTHER, 1)


def layout(width: int, height: int, *, two: bool, shelf: bool, apart: bool, cards: int) -> Layout:
    """Return the boxes of the desk.

    two: pane B holds a scan. shelf, apart: what the user asked for. cards: how many are chosen.
    """
    if width < SMALLEST[0] or height < SMALLEST[1]:
        return Layout({"heads": Box(0, 0, width, height)}, small=True)
    apart = apart and two and width >= APART
    beside = shelf and not apart and width >= BESIDE
    roomy = height >= ROOMY
    x = SHELF + 3 if beside else 0
    main = width - x
    # The last column stays free.
    pane = (main - 4) // 2 if apart else main - 1
    bars = two and not apart and height >= BARS
    boxes = {"foot": Box(0, height - 2, width, 2)}
    if shelf:
        boxes["shelf"] = Box(0, 0, SHELF + 2, height - 3)
    # From the bottom: the blank above the news, bars, strips; the picture takes what is left.
    bottom = height - 3
    if bars:
        boxes["bars"] = Box(x, bottom - 6, main, 6)
        bottom -= 6 + 1
    per = across(pane)
    rows = (3 if apart else 4) if two else 2
    gap = 1 if roomy else 0
    heads = 2 if two or apart else 1
    above = heads + gap + 3 + 1  # with the ribbon, its names, the caret and the note or blank above the strip
    wanted = max(-(-cards // per), 1)
    room = bottom - above - LOWEST_CHART
    strips = max(min(wanted, (room + gap) // (rows + gap)), 1)
    tall = strips * rows + (strips - 1) * gap
    strip = bottom - tall
    # The row over the strip tells the units of the cards, and a caution.
    boxes["strip"] = Box(x, strip - 1, main, tall + 1)
    boxes["heads"] = Box(x, 0, main, heads)
    boxes["picture"] = Box(x, heads + gap, main, strip - 1 - heads - gap)
    return Layout(boxes, strips, per, beside, apart, False, bars, roomy)
