"""A plain tool: render lists of Line to a PNG, so that a change to a chart can be looked at.

    python tests/charts/look.py OUT.png [dark|light|lights-off|nocolor|ascii] [SCENE]

Needs pillow and DejaVu Sans Mono; nothing of spectui imports it.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from spectui.charts.cells import Form, Line, cell_width

FONT = "/usr/share/fonts/truetype/dejavu/DejaVuSansMono{}.ttf"
CELL = (11, 22)
_NAMES = ("bg", "text", "bright", "dots", "dim", "faint", "fill", "selected", "panel", "ghost", "hatch")
_LOOKS = {
    "dark": "121212 c6c6c6 eeeeee eeeeee 8a8a8a 444444 585858 3a3a3a 1c1c1c 262626 626262",
    "light": "eeeeee 303030 080808 080808 626262 bcbcbc b2b2b2 d0d0d0 e4e4e4 e4e4e4 a8a8a8",
    "lights-off": "000000 378737 56bd56 56bd56 2b6a2b 163a16 143f14 143414 081808 081808 1c481c",
    "nocolor": "0c0c0c cccccc ffffff cccccc 767676 767676 cccccc 0c0c0c 0c0c0c 767676 767676",
}
# Which quarters of the cell a block fills: 0 1 above, 2 3 below.
_QUARTERS = {"▀": (0, 1), "▌": (0, 2), "▐": (1, 3), "▖": (2,), "▗": (3,), "▘": (0,), "▝": (1,), "▙": (0, 2, 3),
             "▛": (0, 1, 2), "▜": (0, 1, 3), "▟": (1, 2, 3)}  # fmt: skip
ROLES = {name: dict(zip(_NAMES, ("#" + c for c in text.split()), strict=True)) for name, text in _LOOKS.items()}
ROLES["ascii"] = ROLES["nocolor"]


def form_of(look: str) -> Form:
    """Return the form that goes with a look."""
    return Form(ascii=look == "ascii", color=look not in ("nocolor", "ascii"))


def picture(lines: list[Line], path: str, look: str = "dark") -> None:
    """Write the lines as a PNG."""
    from PIL import Image, ImageDraw, ImageFont

    roles = ROLES[look]
    fonts = {bold: ImageFont.truetype(FONT.format("-Bold" if bold else ""), 18) for bold in (False, True)}
    width = max(sum(cell_width(span.text) for span in line) for line in lines)
    image = Image.new("RGB", (width * CELL[0] + 20, len(lines) * CELL[1] + 20), roles["bg"])
    draw = ImageDraw.Draw(image)
    for row, line in enumerate(lines):
        at = 0
        for span in line:
            ink, ground = roles.get(span.ink, span.ink), roles.get(span.ground, span.ground)
            if span.reverse:
                ink, ground = ground, ink
            for char in span.text:
                cells = cell_width(char)
                _cell(draw, char, (10 + at * CELL[0], 10 + row * CELL[1]), max(cells, 1), ink, ground, fonts[span.bold])
                at += cells
    image.save(path)


def _cell(draw: Any, char: str, at: tuple[int, int], cells: int, ink: str, ground: str, font: Any) -> None:
    x, y = at
    w, h = CELL[0] * cells, CELL[1]
    if ground:
        draw.rectangle((x, y, x + w - 1, y + h - 1), ground)
    code = ord(char)
    if 0x2581 <= code <= 0x2588:  # blocks fill their cell to the edge, whatever the font does
        draw.rectangle((x, y + h - round(h * (code - 0x2580) / 8), x + w - 1, y + h - 1), ink)
    elif char in _QUARTERS:
        for bit in _QUARTERS[char]:
            left, top = x + bit % 2 * (w // 2), y + bit // 2 * (h // 2)
            draw.rectangle((left, top, x + w - 1 if bit % 2 else x + w // 2 - 1, top + h // 2 - 1), ink)
    elif 0x2800 < code <= 0x28FF:
        bits = ((1, 8), (2, 16), (4, 32), (64, 128))
        for r, pair in enumerate(bits):
            for c, bit in enumerate(pair):
                if (code - 0x2800) & bit:
                    cx, cy = x + 3 + c * 5.5, y + 3 + r * 5.5
                    draw.ellipse((cx - 1.3, cy - 1.3, cx + 1.3, cy + 1.3), ink)
    elif char in "─━│┼┿╴╶╸╺╼╾┤":
        cx, cy = x + w // 2, y + h // 2
        left = {"─": 1, "━": 3, "┼": 1, "┿": 3, "╴": 1, "╸": 3, "╼": 1, "╾": 3, "┤": 1}.get(char, 0)
        right = {"─": 1, "━": 3, "┼": 1, "┿": 3, "╶": 1, "╺": 3, "╼": 3, "╾": 1}.get(char, 0)
        if left:
            draw.line((x, cy, cx, cy), ink, left)
        if right:
            draw.line((cx, cy, x + w, cy), ink, right)
        if char in "│┼┿┤":
            draw.line((cx, y, cx, y + h), ink, 1)
    elif char == "╱":
        draw.line((x, y + h, x + w, y), ink, 1)
    elif char != " ":
        draw.text((x, y), char, ink, font)


if __name__ == "__main__":
    from tests.charts import scenes

    out, look, scene = [*sys.argv[1:], "dark", "desk80"][:3] if len(sys.argv) < 4 else sys.argv[1:4]
    picture(getattr(scenes, scene)(form_of(look), look == "lights-off"), out, look)
