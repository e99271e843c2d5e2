"""The published hazard weightings, as they are printed. Indicators only: an assessment is for a qualified person."""

from __future__ import annotations

from spectui.core.verify.published import Group, Row

_BLUE = (
    (380, "0.01"), (385, "0.013"), (390, "0.025"), (395, "0.05"), (400, "0.10"), (405, "0.20"), (410, "0.40"),
    (415, "0.80"), (420, "0.90"), (425, "0.95"), (430, "0.98"), (435, "1.00"), (440, "1.00"), (445, "0.97"),
    (450, "0.94"), (455, "0.90"), (460, "0.80"), (465, "0.70"), (470, "0.62"), (475, "0.55"), (480, "0.45"),
    (485, "0.40"), (490, "0.22"), (495, "0.16"), (500, "0.10"), (600, "0.001"), (650, "0.001"), (700, "0.001"),
)  # fmt: skip

# 10^((450 − λ)/50), by hand.
_BLUE_CURVE = ((525, "0.0316228"), (550, "0.0100000"), (575, "0.00316228"), (590, "0.00158489"))

# 276, 324 and 372 nm were seen in the directive; the table of the program begins at 280 nm.
_ACTINIC_SEEN = ((324, "0.00052"), (372, "0.000086"))
_ACTINIC = (
    (280, "0.88"), (285, "0.77"), (290, "0.64"), (295, "0.54"), (297, "0.46"), (300, "0.30"), (303, "0.12"),
    (305, "0.06"), (308, "0.026"), (310, "0.015"), (313, "0.006"), (315, "0.003"), (320, "0.0010"), (325, "0.00050"),
    (330, "0.00041"), (335, "0.00034"), (340, "0.00028"), (345, "0.00024"), (350, "0.00020"), (355, "0.00016"),
    (360, "0.00013"), (365, "0.00011"), (370, "0.000093"), (375, "0.000077"), (380, "0.000064"), (385, "0.000053"),
    (390, "0.000044"), (395, "0.000036"), (400, "0.000030"),
)  # fmt: skip
_LINE = "exact; 1 W m-2 in a triangle of 0.002 nm"


def _rows(letter: str, key: str, table: tuple[tuple[int, str], ...], first: float, last: float) -> tuple[Row, ...]:
    return tuple(Row(f"{letter} at {nm} nm", ("line", nm, first, last), key, value) for nm, value in table)


HAZARDS = (
    Group("Blue-light hazard, B", "IEC 62471", _LINE, _rows("B", "e_blue_hazard", _BLUE, 380.0, 700.0), unit="1"),
    Group(
        "Blue-light hazard, B, 500-600 nm",
        "IEC 62471: 10^((450 − nm)/50)",
        _LINE,
        _rows("B", "e_blue_hazard", _BLUE_CURVE, 380.0, 700.0),
        unit="1",
    ),
    Group(
        "Actinic ultraviolet, S",
        "Directive 2006/25/EC, Annex I",
        _LINE,
        _rows("S", "e_actinic", _ACTINIC_SEEN, 280.0, 400.0),
        unit="1",
    ),
    Group(
        "Actinic ultraviolet, S, 5 nm",
        "Directive 2006/25/EC, Annex I; ICNIRP 2004 values, from memory",
        _LINE,
        _rows("S", "e_actinic", _ACTINIC, 280.0, 400.0),
        unit="1",
    ),
)
