"""Writes IES TM-27 XML; what files/tm27.py says of keys and elements holds here."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from spectui.core.errors import UsageError
from spectui.core.scan import Scan
from spectui.core.units import COUNTS, IRRADIANCE, RELATIVE, TRANSMITTANCE
from spectui.files.quote import is_plain, quote

NAMESPACE = "http://www.ies.org/iestm2714"
PROGRAM = "spectui"

UNITS = {"irradiance": IRRADIANCE, "transmittance": TRANSMITTANCE, "relative": RELATIVE}
# Absolute quantities that are no irradiance, and ratios that are no transmittance: their shape can be read, no more.
OTHER_QUANTITIES = ("absorptance", "exitance", "flux", "intensity", "radiance", "reflectance", "R-Factor", "T-Factor")

KEYS = {
    "Description": "title",
    "CatalogNumber": "fixture",
    "UniqueIdentifier": "fixture_id",
    "MeasurementEquipment": "instrument",
    "BandwidthFWHM": "bandwidth_fwhm_nm",
    "Comments": "notes",
}
# In the order of the standard's schema. The three that are required are always written.
_HEADER = (
    *("Manufacturer", "CatalogNumber", "Description", "DocumentCreator", "UniqueIdentifier", "MeasurementEquipment"),
    *("Laboratory", "ReportNumber", "ReportDate", "DocumentCreationDate"),
)
_DISTRIBUTION = ("ReflectionGeometry", "TransmissionGeometry", "BandwidthFWHM", "BandwidthCorrected")
_GEOMETRIES = ("0:0", "di:0", "de:0", "0:di", "0:de", "d:d", "other")
MARK = "--- metadata ---"
_NOT_XML = re.compile("[^\t\n -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def key_of(name: str) -> str:
    return KEYS.get(name) or re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", name).lower()


def _comments(notes: str, rest: Mapping[str, str]) -> str:
    if not rest and MARK not in notes.split("\n"):
        return notes
    lines = [
        f"{key if is_plain(key, (':',)) else quote(key)}: {value if is_plain(value) else quote(value)}"
        for key, value in rest.items()
    ]
    return "\n".join([*([notes] if notes else []), MARK, *lines])


def _fits(text: str) -> bool:
    """True where an element can hold `text` so that it is read back as it is."""
    return text not in ("", "None") and text == text.strip() and "\r" not in text and not _NOT_XML.search(text)


def _allowed(name: str, text: str) -> bool:
    """True where the schema lets the element hold this text."""
    if name == "BandwidthFWHM":
        return re.fullmatch(r"\d+(\.\d*)?|\.\d+", text) is not None
    if name == "BandwidthCorrected":
        return text in ("true", "false")
    return name not in ("ReflectionGeometry", "TransmissionGeometry") or text in _GEOMETRIES


def text(scans: Sequence[Scan], *, created: str | None = None) -> tuple[str, list[str]]:
    """Return (document, what it could not hold) of one scan.

    `created` is the DocumentCreationDate (ISO 8601), by default now. Raises UsageError for more than one scan.
    """
    if len(scans) != 1:
        raise UsageError(f"IES TM-27 holds one spectrum a file, got {len(scans)}: write each to its own file")
    scan = scans[0]
    rest = {key: value for key, value in scan.meta.items() if key != "unit"}
    quantity = {unit: name for name, unit in UNITS.items()}.get(scan.unit, "other")
    if scan.unit == RELATIVE and rest.get("spectral_quantity") in OTHER_QUANTITIES:
        quantity = rest.pop("spectral_quantity")
    if scan.unit == COUNTS:
        rest["unit"] = COUNTS

    def elements(names: Sequence[str], indent: str) -> list[str]:
        lines = []
        for name in names:
            value = written.get(name)
            if value is None:
                value = rest.get(key_of(name), "")
                if not _allowed(name, value):
                    continue
                if _fits(value):
                    rest.pop(key_of(name))
                value = "" if value == "None" else _NOT_XML.sub("\ufffd", value.strip())
            if value or name == "Description":
                lines.append(f"{indent}<{name}>{_xml(value)}</{name}>")
        return lines

    written = {"DocumentCreator": PROGRAM, "DocumentCreationDate": created or _now()}
    header = elements(_HEADER, "    ")
    distribution = elements(_DISTRIBUTION, "    ")
    notes = rest.pop("notes") if _fits(rest.get("notes", "")) else ""
    comments = _comments(notes, rest)
    if comments:
        header.append(f"    <Comments>{_xml(comments)}</Comments>")
    rows = [
        f'    <SpectralData wavelength="{nm!r}">{value!r}</SpectralData>'
        for nm, value in zip(scan.wavelength.tolist(), scan.values.tolist(), strict=True)
    ]
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<IESTM2714 xmlns="{NAMESPACE}" version="1.0">',
        *("  <Header>", *header, "  </Header>"),
        *("  <SpectralDistribution>", f"    <SpectralQuantity>{_xml(quantity)}</SpectralQuantity>"),
        *(*distribution, *rows, "  </SpectralDistribution>"),
        "</IESTM2714>",
    ]
    notes_out = []
    if scan.expanded_uncertainty is not None:
        notes_out.append("IES TM-27 has no place for the expanded uncertainty of each sample: left out")
    return "\n".join(lines) + "\n", notes_out


def _xml(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _now() -> str:
    from datetime import UTC, datetime

    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
