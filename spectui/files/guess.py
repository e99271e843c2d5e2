"""What a foreign preamble probably means: plain words of the trade to our keys, a date to its pattern."""

from __future__ import annotations

import re
from collections.abc import Sequence

from spectui.files.head import bracket
from spectui.files.safe import shown

# Words as technicians write them, in English and German; common practice, no source.
_WORDS = {
    "title": "name|sample|sample name|scan|scan name|label|probe|bezeichnung|titel",
    "unit": "units|y unit|y units|einheit|unit of values|values in",
    "taken_at": "date|time|date time|date and time|datetime|timestamp|measured|measured on|measured at|taken|taken on|"
    "recorded|datum|zeit|uhrzeit|messzeit|gemessen",
    "place": "location|site|room|bay|bench|ort|raum",
    "position_m": "position|xy|xyz",
    "instrument": "device|model|meter|sensor|gerät|spectrometer|spectroradiometer",
    "instrument_serial": "serial|serial number|serial no|s/n|sn|device serial|seriennummer",
    "calibrated_on": "calibrated|calibration date|last calibration|kalibriert am",
    "calibration_due": "next calibration|calibration valid until|recalibration",
    "integration_ms": "integration|integration time|int time|int. time|exposure|exposure time|integrationszeit",
    "temperature_c": "temperature|temp|sensor temperature|temperatur",
    "dark_taken_at": "dark taken|dark time|dark date",
    "input_power_w": "power|input power|electrical power|leistung",
    "fixture": "lamp|luminaire|light source|source|leuchte|lampe",
    "fixture_id": "fixture number|fixture no|lamp id|luminaire id|asset",
    "distance_m": "distance|height|mounting height|abstand|höhe",
    "dim_percent": "dim|dimming|dim level|level|dimmung",
    "lit_minutes": "warm up|warm-up|lit for|burning time",
    "hours_run": "hours|operating hours|burning hours|betriebsstunden",
    "operator": "user|measured by|taken by|technician|bediener|name of operator",
    "notes": "note|comment|comments|remark|remarks|bemerkung|kommentar",
    "stated_ppfd": "ppfd",
    "stated_lux": "lux|illuminance|beleuchtungsstärke|ev",
    "photoperiod_h": "photoperiod|day length",
}
_KEY_OF = {word: key for key, words in _WORDS.items() for word in words.split("|")}
_DAYS = ("%d{0}%m{0}%Y", "%m{0}%d{0}%Y", "%Y{0}%m{0}%d", "%d{0}%m{0}%y", "%m{0}%d{0}%y")
_NAMED_DAYS = ("%d %b %Y", "%d %B %Y", "%d-%b-%Y", "%b %d, %Y", "%B %d, %Y")
_CLOCKS: tuple[str, ...] = (
    "",
    "%H:%M",
    "%H:%M:%S",
    "%H:%M:%S.%f",
    "%I:%M %p",
    "%I:%M:%S %p",
    "%I:%M%p",
    "%H:%M%z",
    "%H:%M:%S%z",
)
_CLOCKS += ("%H:%M:%S %z", "%H:%M %z")


def key_guess(name: str) -> str:
    """Return the contract's key that a name probably means, "" where none is near."""
    plain = re.sub(r"[\s_]+", " ", bracket(name)[0].strip().lower().rstrip(".:"))
    return _KEY_OF.get(plain, "")


def date_pattern(values: Sequence[str]) -> tuple[str | None, list[str]]:
    """Return (the one pattern that reads every date, None where there is no need or no certainty; notes)."""
    from datetime import datetime

    foreign = []
    for value in values:
        try:
            datetime.fromisoformat(value)
        except ValueError:
            foreign.append(value)
    if not foreign:
        return None, []
    fits = [pattern for pattern in _patterns(foreign[0]) if all(_reads(pattern, value) for value in foreign)]
    if len(fits) == 1:
        return fits[0], [f"{shown(foreign[0])} is read as {fits[0]}"]
    if fits:
        either = " or ".join(f'`date = "{pattern}"`' for pattern in fits)
        return None, [f"{shown(foreign[0])} can be read in {len(fits)} ways: add {either}"]
    return None, [f"{shown(foreign[0])} is no date that is known: add `date` with its pattern"]


def _patterns(value: str) -> list[str]:
    mark = re.search(r"[0-9]([/.-])[0-9]", value)
    # With dots the day comes first wherever dates are written so; with slashes and hyphens either may.
    days = [day.format(mark[1]) for day in _DAYS if not (mark[1] == "." and day.startswith("%m"))] if mark else []
    days += _NAMED_DAYS
    return [f"{day}{gap}{clock}" for day in days for clock in _CLOCKS for gap in ((" ", "T", ", ") if clock else ("",))]


def _reads(pattern: str, value: str) -> bool:
    from datetime import datetime

    try:
        when = datetime.strptime(value, pattern)
    except (ValueError, OverflowError):
        return False
    return 1950 <= when.year <= 2200
