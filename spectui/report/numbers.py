"""How a number is written: one rounding for the screen, the commands' text and every report.

As many digits as the uncertainty supports, four significant where it is unknown; a thin space between thousands,
a real minus.
"""

from __future__ import annotations

from math import floor, isfinite, log10

THIN, MINUS, NONE = "\u2009", "\u2212", "\u2013"
_SIGNIFICANT = 4
_PLAIN = str.maketrans(
    {
        THIN: None,
        MINUS: "-",
        NONE: "-",
        "±": "+-",
        "≈": "~",
        "µ": "u",
        "·": ".",
        "×": "x",
        "°": None,
        "…": "...",
        "′": "'",
        "λ": "lambda",
        "∫": "integral",
    }
    | dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-", strict=True))
)


def decimals(value: float, uncertainty: float | None = None) -> int:
    """Return how many decimals a value is written with; negative where digits before the point are rounded away.

    The uncertainty has two digits where it begins with 1 or 2, else one: rounding it costs about 10 % at most.
    """
    if uncertainty is not None and isfinite(uncertainty) and uncertainty > 0:
        leading = floor(log10(uncertainty))
        two = round(uncertainty / 10.0**leading, 1) < 3.0
        return -leading + (1 if two else 0)
    if value == 0 or not isfinite(value):
        return 0
    places = _SIGNIFICANT - 1 - floor(log10(abs(value)))
    # 9.9999 becomes 10.00 and not 10.000.
    return places if abs(round(value, places)) < 10.0 ** (_SIGNIFICANT - places) else places - 1


def number(value: float | None, uncertainty: float | None = None) -> str:
    """Return a value as text; a dash where there is none."""
    if value is None or not isfinite(value):
        return NONE
    places = decimals(value, uncertainty)
    if uncertainty is None and value != 0 and not 1e-4 <= abs(value) < 1e7:
        return _power(value)
    rounded = round(value, places)
    text = f"{abs(rounded):,.{max(places, 0)}f}".replace(",", THIN)
    return (MINUS if rounded < 0 else "") + text


def difference(value: float | None, of: tuple[float | None, float | None], uncertainty: float | None = None) -> str:
    """Return a difference as text with the decimals that both of its numbers have, its sign shown; 0 has none.

    So the text is the difference of the two texts, within one of the last digit, and rounding noise is never shown.
    """
    if value is None or not isfinite(value):
        return NONE
    places = decimals(value, uncertainty) if uncertainty is not None else min(decimals(x) for x in of if x is not None)
    rounded = round(value, places)
    if not rounded:
        return "0"
    return ("+" if rounded > 0 else MINUS) + f"{abs(rounded):,.{max(places, 0)}f}".replace(",", THIN)


def spread(uncertainty: float | None) -> str:
    """Return ± and the expanded uncertainty, empty where it is unknown."""
    return "" if uncertainty is None else "±" + number(uncertainty, uncertainty)


def percent(value: float | None) -> str:
    """Return a difference in percent: whole from 10, else one decimal."""
    if value is None or not isfinite(value):
        return NONE
    rounded = round(value) if abs(value) >= 9.95 else round(value, 1)
    if not rounded:
        return "0"
    text = f"{abs(rounded):,.0f}" if abs(rounded) >= 10 else f"{abs(rounded):.1f}"
    return ("+" if rounded > 0 else MINUS) + text.replace(",", THIN)


def ascii_only(text: str) -> str:
    """Return the text in ASCII: a minus is a hyphen, µ is u, and so on; what is left unknown is a question mark."""
    return text.translate(_PLAIN).encode("ascii", "replace").decode()


def _power(value: float) -> str:
    digits, exponent = f"{value:.{_SIGNIFICANT - 1}e}".split("e")
    raised = str(int(exponent)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return f"{digits.replace('-', MINUS)}×10{raised}"


# Units in the words of the trade, as they stand beside a number.
_UNITS = {
    "umol/m2/s": "µmol m⁻² s⁻¹",
    "umol/J": "µmol/J",
    "umol/J/nm": "µmol/J/nm",
    "mol/m2/d": "mol m⁻² d⁻¹",
    "W/m2": "W m⁻²",
    "W/m2/nm": "W m⁻² nm⁻¹",
    "lx/(umol/m2/s)": "lx per µmol",
    "1": "",
}


def unit(text: str) -> str:
    """Return a unit as it is shown; nothing for a plain ratio."""
    return _UNITS.get(text, text)
