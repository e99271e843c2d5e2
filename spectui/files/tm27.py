"""IES TM-27 XML: one spectrum with its header.

The format names a quantity and no unit: irradiance is W m-2 nm-1 by the standard. Header elements and our keys:
Description - title, CatalogNumber - fixture, UniqueIdentifier - fixture_id, MeasurementEquipment - instrument,
BandwidthFWHM - bandwidth_fwhm_nm; every other element keeps its own name in lower case (ReportDate - report_date).
ReportDate is the day of a report, not of the measurement, so it is never taken for `taken_at`.
Comments holds our notes, then, below a line of its own, each key that has no element as `key: value`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from spectui.core.errors import FileError, NotAScan, ScanError
from spectui.core.scan import DOUBT, FAULT, Flag, Scan
from spectui.core.units import COUNTS, RELATIVE, parse_unit
from spectui.files.quote import unquote
from spectui.files.safe import shown
from spectui.files.text import FileUnitError, is_gap, number
from spectui.files.tm27text import MARK, OTHER_QUANTITIES, PROGRAM, UNITS, key_of, text

__all__ = ["looks_like", "read", "text"]

DEEPEST = 16

_LINE = re.compile(r'("(?:[^"\\]|\\.)*"|[^":][^:]*): ?(.*)')


class _Element(NamedTuple):
    path: str  # names below the root, without namespaces: "Header/Description"
    wavelength: str | None
    text: list[str]
    line: int


def looks_like(head: bytes) -> bool:
    """True where the first bytes of a file are those of a TM-27 document (in UTF-16 too), well-formed or not."""
    plain = head.replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return plain[:1] == b"<" and b"IESTM27" in plain.upper()


def read(data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False) -> list[Scan]:
    """Read a TM-27 document: one scan for each SpectralDistribution (the standard has one).

    `unit` is what the user says the values are: it holds where the file says relative or other, else it must agree.
    Raises FileError with the line, NotAScan where the XML is no TM-27.
    """
    said: dict[str, list[str]] = {}
    found: list[list[_Element]] = []
    for element in _elements(data, source):
        place, _, name = element.path.rpartition("/")
        if element.path == "SpectralDistribution":
            found.append([])
        elif place == "SpectralDistribution":
            found[-1].append(element)
        elif place == "Header":
            text = _text(element)
            if text is not None:
                said.setdefault(name, []).append(text)
    header = {name: "\n".join(texts) for name, texts in said.items()}
    if not found:
        raise FileError(source, "expected an element SpectralDistribution, found none")
    return [
        _scan(header, elements, source, unit, skip_gaps, None if len(found) == 1 else index)
        for index, elements in enumerate(found)
    ]


def _elements(data: bytes, source: str) -> list[_Element]:
    """Parse the XML, refusing what could reach outside the file or grow without bound."""
    from xml.parsers import expat

    parser = expat.ParserCreate()
    parser.buffer_text = True
    path: list[str] = []
    elements: list[_Element] = []
    inside: list[_Element] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        line = parser.CurrentLineNumber
        if not path and not local.upper().startswith("IESTM27"):
            raise NotAScan(source, f"an XML document {shown(local)}, expected IES TM-27 (IESTM2714)")
        if len(path) >= DEEPEST:
            raise FileError(source, f"elements nested deeper than {DEEPEST}", line)
        path.append(local)
        element = _Element("/".join(path[1:]), attributes.get("wavelength"), [], line)
        inside.append(element)
        elements.append(element)

    def end(_name: str) -> None:
        path.pop()
        inside.pop()

    def text(characters: str) -> None:
        inside[-1].text.append(characters)

    def refuse(*_: object) -> None:
        kind = FileError if looks_like(data) else NotAScan
        raise kind(
            source,
            "a DOCTYPE or entity declaration, which is refused as it can reach outside the file: remove it",
            parser.CurrentLineNumber,
        )

    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        kind = FileError if elements else NotAScan
        raise kind(source, f"not well-formed XML: {expat.ErrorString(error.code)}", error.lineno) from None
    except (LookupError, ValueError) as error:  # an encoding that does not exist or cannot be used
        raise FileError(source, f"XML that cannot be decoded: {error}", 1) from None
    return elements


def _text(element: _Element) -> str | None:
    """Return what an element says; None where it is empty or holds the word that some writers put into empty fields."""
    text = "".join(element.text).strip()
    return None if text in ("", "None") else text


def _scan(
    header: Mapping[str, str],
    elements: Sequence[_Element],
    source: str,
    unit: str | None,
    skip_gaps: bool,
    index: int | None,
) -> Scan:
    own = header.get("DocumentCreator") == PROGRAM  # then creator and date tell of the conversion, not of the scan
    meta = {
        key_of(name): text
        for name, text in header.items()
        if not (name == "Comments" or (own and name in ("DocumentCreator", "DocumentCreationDate")))
    }
    said: tuple[str, int] | None = None
    rows: list[_Element] = []
    for element in elements:
        name = element.path.rpartition("/")[2]
        text = None if name == "SpectralData" else _text(element)
        if name == "SpectralData":
            rows.append(element)
        elif name == "SpectralQuantity" and text:
            said = text, element.line
        elif text is not None:
            meta[key_of(name)] = text
    if said is None:
        raise FileError(source, "the required element SpectralQuantity is missing or empty")
    meta |= _from_comments(header.get("Comments"))
    given, flags = _unit(said, meta, source, unit)
    nm, values, gaps = _numbers(rows, source, skip_gaps)
    try:
        return Scan.build(nm, values, given, meta, flags=(*flags, *gaps), source=source, index=index)
    except ScanError as error:
        raise FileError(source, str(error)) from None


def _unit(said: tuple[str, int], meta: dict[str, str], source: str, unit: str | None) -> tuple[str, tuple[Flag, ...]]:
    """Decide the unit from the quantity, our own `unit` line (counts have no quantity of their own) and the user."""
    quantity, line = said
    wanted = None if unit is None else parse_unit(unit)
    declared = UNITS.get(quantity.lower())
    if quantity.lower() == "other" and meta.get("unit") == COUNTS:
        del meta["unit"]
        declared = COUNTS
    absolute = quantity.lower() in (name.lower() for name in OTHER_QUANTITIES)
    if wanted is not None and (wanted == declared or declared in (None, RELATIVE)) and not absolute:
        if declared is None:
            meta["spectral_quantity"] = quantity
        return wanted, ()
    if wanted not in (None, declared, RELATIVE if absolute else None):
        message = f"the file holds {shown(quantity)}, {wanted} was asked for: leave --unit out, or correct the file"
        raise FileUnitError(source, message, line)
    if declared is not None:
        return declared, ()
    meta["spectral_quantity"] = quantity
    message = f"the file holds {shown(quantity)}, not irradiance: read as a relative spectrum"
    return RELATIVE, (Flag("other_quantity", DOUBT, message),)


def _numbers(
    rows: Sequence[_Element], source: str, skip_gaps: bool
) -> tuple[list[float], list[float], tuple[Flag, ...]]:
    nm: list[float] = []
    values: list[float] = []
    skipped = 0
    for row in rows:
        if row.wavelength is None:
            raise FileError(source, "SpectralData without the attribute wavelength", row.line)
        at = number(row.wavelength.strip())
        if at is None:
            message = f"the attribute wavelength is {shown(row.wavelength)}, expected a number with a decimal point"
            raise FileError(source, message, row.line)
        text = _text(row) or ""
        value = number(text)
        if value is not None:
            nm.append(at)
            values.append(value)
        elif not is_gap(text):
            message = f"the value at {at:g} nm is {shown(text)}, expected a number with a decimal point"
            raise FileError(source, message, row.line)
        elif skip_gaps:
            skipped += 1
        else:
            met = shown(text) if text else "empty"
            message = f"the value at {at:g} nm is {met}, expected a number; --skip-gaps leaves such samples out"
            raise FileError(source, message, row.line)
    flags = (Flag("gaps_skipped", FAULT, f"{skipped} samples without a number were left out"),) if skipped else ()
    return nm, values, flags


def _from_comments(text: str | None) -> dict[str, str]:
    """Take apart what _comments put together; the Comments of any other program are notes as a whole."""
    if text is None:
        return {}
    lines = text.split("\n")
    if MARK in lines:
        last = len(lines) - 1 - lines[::-1].index(MARK)
        found = [_LINE.fullmatch(line) for line in lines[last + 1 :]]
        if all(found):
            notes = "\n".join(lines[:last])
            meta = {"notes": notes} if notes else {}
            return meta | {unquote(match[1]): unquote(match[2]) for match in found if match}
    return {"notes": text}
