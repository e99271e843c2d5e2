"""Our own words in the glyphs of a form."""

from __future__ import annotations

import re

from spectui.charts.cells import Form
from spectui.report.numbers import ascii_only

_PER = re.compile(r" ?([A-Za-zµ]+)⁻([¹²³])")
_POWERS = {"¹": "", "²": "2", "³": "3"}


def glyphs(text: str, form: Form) -> str:
    """Return the text as the form can show it: in ASCII `W m⁻² nm⁻¹` is W/m2/nm, ± is +-, ≈ is ~."""
    if not form.ascii or text.isascii():
        return text
    return ascii_only(_PER.sub(lambda match: f"/{match[1]}{_POWERS[match[2]]}", text.replace("×", "x")))
