"""JCAMP-DX 4.24 and the usual variants of 5.x: spectra over wavelength, one or several in a file.

Read are (X++(Y..Y)) in every packing and (XY..XY); X in nm, um or angstrom. X in 1/cm is refused: a spectral
irradiance per nm is no spectral irradiance per 1/cm on another scale. X and Y check points, NPOINTS, FIRSTX, LASTX,
FIRSTY and DELTAX are held against the table. Our own metadata stand in user labels, `##$key=`.
"""

from __future__ import annotations

import re

import numpy as np

from spectui.core.errors import FileError, ScanError, UnitError
from spectui.core.scan import DOUBT, FAULT, Flag, Scan
from spectui.core.units import RELATIVE, TRANSMITTANCE, parse_unit
from spectui.files.jcamptable import even, points, uncertainty
from spectui.files.jcamptext import text
from spectui.files.ldr import DATA_TYPE, KEYS, PROGRAM, UNCERTAINTY, Block, Record, blocks, looks_like
from spectui.files.ldr import plain_label as plain
from spectui.files.quote import unquote
from spectui.files.safe import shown
from spectui.files.text import FileUnitError, decode, lines_of

__all__ = ["looks_like", "read", "text"]

_RELATIVE = frozenset(("RELATIVE", "ARBITRARYUNITS", "ARBITRARY", "RELATIVEINTENSITY", "RELATIVEIRRADIANCE", "A.U."))
_PERCENT = frozenset(("%T", "%TRANSMITTANCE", "PERCENTTRANSMITTANCE", "TRANSMITTANCE(%)", "TRANSMITTANCE%"))
_NO_IRRADIANCE = frozenset(
    ("ABSORBANCE", "REFLECTANCE", "PERCENTREFLECTANCE", "%REFLECTANCE", "KUBELKAMUNK", "ABSORPTANCE", "EMITTANCE")
)
_TABLES = ("XYDATA", "XYPOINTS")
_REFUSED = {
    "PEAKTABLE": "a list of peaks",
    "PEAKASSIGNMENTS": "a list of peaks",
    "RADATA": "an interferogram",
    "NTUPLES": "a table of several variables",
}
_STRUCTURE = frozenset(
    "JCAMPDX DATACLASS XUNITS YUNITS XFACTOR YFACTOR FIRSTX LASTX FIRSTY LASTY DELTAX MAXX MINX MAXY MINY NPOINTS "
    "XYDATA XYPOINTS BLOCKS BLOCKID PEAKTABLE PEAKASSIGNMENTS LONGDATE DATE TIME".split()
) | {""}
_DATE = re.compile(r"(\d{2}|\d{4})/(\d\d?)/(\d\d?)")
_TIME = re.compile(r"(\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?")


def read(data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False) -> list[Scan]:
    """Read a JCAMP-DX file: one scan for each block that holds a spectrum.

    `unit` is what the user says the values are: it holds where YUNITS is missing, relative or unknown, else it must
    agree. Raises FileError with the line, NotAScan where the text is no JCAMP-DX.
    """
    found = blocks(lines_of(decode(data, source), source), source)
    spectra = [block for block in found if any(block.get(label) for label in _TABLES)]
    if not spectra:
        for block in found:
            for record in block.records:
                if record.label in _REFUSED:
                    what = f"##{record.name}= is {_REFUSED[record.label]}, not a spectrum"
                    raise FileError(source, f"{what}: expected ##XYDATA= or ##XYPOINTS=", record.line)
        raise FileError(source, "expected a table ##XYDATA= or ##XYPOINTS=, found none")
    return [
        _scan(block, source, unit, skip_gaps, None if len(spectra) == 1 else index)
        for index, block in enumerate(spectra)
    ]


def _scan(block: Block, source: str, unit: str | None, skip_gaps: bool, index: int | None) -> Scan:
    record = next(record for label in _TABLES if (record := block.get(label)) is not None)
    form = re.sub(r"\s", "", record.lines[0]).upper()
    if form == "(X++(Y..Y))":
        table = even(block, record, source)
    elif form == "(XY..XY)":
        table = points(block, record, source)
    else:
        raise FileError(
            source, f"a table {shown(record.lines[0].strip())}, expected (X++(Y..Y)) or (XY..XY)", record.line
        )
    if not block.ended and block.get("NPOINTS") is None:
        raise FileError(source, "neither ##END= nor ##NPOINTS=: the file may be cut short", record.line)
    given, scale, flags, more = _unit(block, source, unit)
    nm, values, lines = table
    wide = uncertainty(block, len(lines), source)
    meta = _metadata(block) | more
    gap = np.isnan(values)
    if gap.any():
        at = int(np.argmax(gap))
        if not skip_gaps:
            message = f"the value at {nm[at]:g} nm is missing (?); --skip-gaps leaves such samples out"
            raise FileError(source, message, lines[at])
        flags = (*flags, Flag("gaps_skipped", FAULT, f"{int(gap.sum())} samples without a number were left out"))
        nm, values, wide = nm[~gap], values[~gap], None if wide is None else wide[~gap]
    if nm.size > 1 and (np.diff(nm) < 0).all():  # a table may run downwards: no disorder
        nm, values, wide = nm[::-1], values[::-1], None if wide is None else wide[::-1]
    if scale != 1.0:
        values, wide = values * scale, None if wide is None else wide * scale
    try:
        return Scan.build(nm, values, given, meta, expanded_uncertainty=wide, flags=flags, source=source, index=index)
    except ScanError as error:
        raise FileError(source, str(error), record.line) from None


def _unit(block: Block, source: str, unit: str | None) -> tuple[str | None, float, tuple[Flag, ...], dict[str, str]]:
    """Return (unit, factor, flags, metadata) from YUNITS and what the user says."""
    wanted = None if unit is None else parse_unit(unit)
    record = block.get("YUNITS")
    if record is None:
        return wanted, 1.0, (), {}
    name = plain(record.text)
    declared, scale = (TRANSMITTANCE, 0.01) if name in _PERCENT else (_declared(record.text), 1.0)
    arbitrary = name in _RELATIVE and declared is None
    if wanted is not None and wanted != declared and (declared not in (None, RELATIVE) or name in _NO_IRRADIANCE):
        message = f"##YUNITS= is {shown(record.text)}, {wanted} was asked for: leave --unit out, or correct the file"
        raise FileUnitError(source, message, record.line)
    if wanted is not None or declared is not None or arbitrary:
        return wanted or declared, scale, (), {}
    message = (
        f"the file holds {shown(record.text)}, which is no unit of irradiance known here: read as a relative spectrum"
    )
    return None, 1.0, (Flag("other_quantity", DOUBT, message),), {"y_units": record.text}


def _declared(text: str) -> str | None:
    """Return the unit that YUNITS names, None where it names none; labels are often written in capitals."""
    spellings = [text]
    if text == text.upper() and not text.startswith("MW"):  # MW could be milliwatt or megawatt
        spellings.append(re.sub(r"W(?![A-Z])", "W", re.sub(r"[A-VX-Z]+", lambda match: match[0].lower(), text)))
    for spelling in spellings:
        try:
            return parse_unit(spelling)
        except UnitError:
            continue
    return None


def _metadata(block: Block) -> dict[str, str]:
    """Return what a block says besides its numbers; user labels keep their name as it is written."""
    standard: dict[str, list[str]] = {}
    own: dict[str, str] = {}
    for record in block.records:
        if record.name.startswith("$"):
            key = record.name[1:].strip()
            if key != UNCERTAINTY and (record.text or record.quoted):
                own[unquote(key)] = record.text
        elif record.label not in _STRUCTURE and record.text and not _ours(record):
            key = KEYS.get(record.label) or re.sub(r"[\s\-_/]+", "_", record.name.lower()).strip("_")
            standard.setdefault(key, []).append(record.text)
    taken = {} if "taken_at" in own else _taken(block)
    return {key: "\n".join(texts) for key, texts in standard.items()} | taken | own


def _ours(record: Record) -> bool:
    """True for what our writer puts where the standard asks for something and the scan says nothing."""
    return (record.label == "ORIGIN" and record.text == PROGRAM) or (
        record.label == "DATATYPE" and plain(record.text) in (plain(DATA_TYPE), "LINK")
    )


def _taken(block: Block) -> dict[str, str]:
    """Return taken_at (ISO 8601) from LONG DATE, or DATE and TIME; what is no date is kept as it is."""
    kept = {}
    long, date, time = block.get("LONGDATE"), block.get("DATE"), block.get("TIME")
    if long is not None:
        whole = _long_date(long.text)
        if whole:
            return {"taken_at": whole}
        kept["long_date"] = long.text
    found, clock = date and _DATE.fullmatch(date.text), time and _TIME.fullmatch(time.text)
    if found and (clock or time is None):
        # Two digits of a year as the standard of 1988 writes them.
        year = int(found[1]) + (0 if len(found[1]) == 4 else 1900 if int(found[1]) >= 70 else 2000)
        day = _day(year, found[2], found[3])
        if day:
            return kept | {"taken_at": day + (f"T{int(clock[1]):02d}:{clock[2]}:{clock[3] or '00'}" if clock else "")}
    return kept | {key: record.text for key, record in (("date", date), ("time", time)) if record is not None}


def _long_date(text: str) -> str | None:
    found = re.fullmatch(
        r"(\d{4})/(\d\d?)/(\d\d?)(?:[ T]+(\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?(?:\s*([+-]\d\d):?(\d\d))?)?", text
    )
    if found is None:
        return None
    day = _day(int(found[1]), found[2], found[3])
    if day is None or found[4] is None:
        return day
    zone = f"{found[7]}:{found[8]}" if found[7] else ""
    return f"{day}T{int(found[4]):02d}:{found[5]}:{found[6] or '00'}{zone}"


def _day(year: int, month: str, day: str) -> str | None:
    from datetime import date

    try:
        return date(year, int(month), int(day)).isoformat()
    except ValueError:
        return None
