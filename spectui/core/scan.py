"""The one boundary: a spectrum is checked and converted here, and trusted everywhere after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from spectui.core.errors import ScanError
from spectui.core.units import IRRADIANCE, RELATIVE, to_internal

SHORTEST_NM, LONGEST_NM = 100.0, 5000.0
LARGEST_VALUE = 1e150  # beyond it sums and squares are no longer safe, and no unit has such a reading
FAULT, DOUBT, UNSAID = "fault", "doubt", "unsaid"


class Flag(NamedTuple):
    """Something to know about a scan. `rank`: fault (in the data), doubt (a known fact out of bounds) or unsaid."""

    code: str
    rank: str
    message: str


@dataclass(frozen=True, slots=True, eq=False)
class Scan:
    """One spectrum, linear between its samples.

    wavelength: (n,) float64 [nm], strictly increasing, read-only, n >= 2.
    values: (n,) float64 in `unit`, finite, read-only.
    unit: W/m2/nm, counts, relative or transmittance. `given_unit` is the one declared, None where none was.
    meta: what the file said, as text, keys in file order (title, taken_at, distance_m, ...).
    flags: what was met while reading (unsorted, repeated, gaps_skipped).
    source: the path as given. index: 0-based place within a file of several scans, else None.
    expanded_uncertainty: (n,) in `unit`, k = 2, or None where the file gives none.
    """

    wavelength: NDArray[np.float64]
    values: NDArray[np.float64]
    unit: str
    meta: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    flags: tuple[Flag, ...] = ()
    source: str = ""
    index: int | None = None
    given_unit: str | None = None
    expanded_uncertainty: NDArray[np.float64] | None = None

    @classmethod
    def build(
        cls,
        wavelength: ArrayLike,
        values: ArrayLike,
        unit: str | None = None,
        meta: Mapping[str, str] | None = None,
        *,
        expanded_uncertainty: ArrayLike | None = None,
        flags: tuple[Flag, ...] = (),
        source: str = "",
        index: int | None = None,
    ) -> Scan:
        """Check, sort, merge and convert one spectrum.

        wavelength, values: (n,) [nm] and [unit]; `unit` is canonical (units.parse_unit) or None for a relative scan.
        Raises ScanError (too few samples, not finite, 100-5000 nm left, contradictory repeats, an uncertainty below
        zero) and UnitError.
        """
        nm = np.array(wavelength, dtype=np.float64)
        raw = np.array(values, dtype=np.float64)
        wide = None if expanded_uncertainty is None else np.array(expanded_uncertainty, dtype=np.float64)
        if nm.ndim != 1 or raw.shape != nm.shape or (wide is not None and wide.shape != nm.shape):
            raise ScanError(
                f"expected one value for each wavelength, got {raw.shape} values for {nm.shape} wavelengths"
            )
        if nm.size < 2:
            raise ScanError(f"expected at least 2 samples, got {nm.size}")
        if not np.isfinite(nm).all():
            raise ScanError(f"sample {int(np.argmin(np.isfinite(nm))) + 1}: the wavelength is not a finite number")
        if not np.isfinite(raw).all():
            at = int(np.argmin(np.isfinite(raw)))
            raise ScanError(f"the value at {nm[at]:g} nm is not a finite number; --skip-gaps leaves such samples out")
        if np.abs(raw).max() > LARGEST_VALUE:
            at = int(np.argmax(np.abs(raw)))
            raise ScanError(f"the value at {nm[at]:g} nm is {raw[at]:g}: no reading is beyond {LARGEST_VALUE:g}")
        if wide is not None and not ((wide >= 0) & (wide <= LARGEST_VALUE)).all():
            at = int(np.argmin((wide >= 0) & (wide <= LARGEST_VALUE)))
            raise ScanError(
                f"the expanded uncertainty at {nm[at]:g} nm is {wide[at]:g}: expected a number of 0 or more"
            )
        if nm.min() < SHORTEST_NM or nm.max() > LONGEST_NM:
            raise ScanError(
                f"expected wavelengths in nm within {SHORTEST_NM:g}-{LONGEST_NM:g}, got {nm.min():g}-{nm.max():g}"
            )
        steps = nm[1:] - nm[:-1]
        if not (steps > 0).all():
            nm, raw, wide, met = _in_order(nm, raw, wide, steps)
            flags = (*flags, *met)
        internal, converted = to_internal(unit or RELATIVE, nm, raw)
        if wide is not None:
            wide = to_internal(unit or RELATIVE, nm, wide)[1]
            wide.flags.writeable = False
        nm.flags.writeable = False
        converted.flags.writeable = False
        return cls(nm, converted, internal, MappingProxyType(dict(meta or {})), flags, source, index, unit, wide)

    @property
    def absolute(self) -> bool:
        """True where the values are in W m-2 nm-1."""
        return self.unit == IRRADIANCE

    @property
    def range_nm(self) -> tuple[float, float]:
        """First and last wavelength [nm]."""
        return float(self.wavelength[0]), float(self.wavelength[-1])

    @property
    def title(self) -> str:
        """The title in the file, else the file's own name."""
        return self.meta.get("title") or self.file

    @property
    def file(self) -> str:
        """The file's own name, without its folders."""
        return self.source.replace("\\", "/").rsplit("/", 1)[-1]

    @property
    def taken_at(self) -> str | None:
        """When it was taken, as the file says it (ISO 8601), or None."""
        return self.meta.get("taken_at") or None

    def number(self, key: str) -> float | None:
        """Return the metadata value of `key` as a finite number, None where it is absent or no number."""
        try:
            value = float(self.meta[key])
        except (KeyError, ValueError):
            return None
        return value if np.isfinite(value) else None

    def with_(self, **changes: Any) -> Scan:
        """Return a copy with fields replaced; the arrays are shared unless replaced."""
        from dataclasses import replace

        if "meta" in changes:
            changes["meta"] = MappingProxyType(dict(changes["meta"]))
        return replace(self, **changes)


_Arrays = tuple[NDArray[np.float64], NDArray[np.float64], "NDArray[np.float64] | None", tuple[Flag, ...]]


def _in_order(
    nm: NDArray[np.float64],
    raw: NDArray[np.float64],
    wide: NDArray[np.float64] | None,
    steps: NDArray[np.float64],
) -> _Arrays:
    """Sort by wavelength and merge equal repeats; both are told as faults."""
    met: list[Flag] = []
    if not (steps >= 0).all():
        met.append(Flag("unsorted", FAULT, "wavelengths were not in order: sorted"))
    order = np.argsort(nm, kind="stable")
    nm, raw = nm[order], raw[order]
    wide = None if wide is None else wide[order]
    same = nm[1:] == nm[:-1]
    if same.any():
        differs = same & (raw[1:] != raw[:-1])
        if wide is not None:
            differs |= same & (wide[1:] != wide[:-1])
        if differs.any():
            at = int(np.argmax(differs))
            raise ScanError(
                f"{nm[at]:g} nm stands twice with different values ({raw[at]:g} and {raw[at + 1]:g}): "
                "remove one, or name the columns in a layout"
            )
        count = int(same.sum())
        words = "1 wavelength stood" if count == 1 else f"{count} wavelengths stood"
        met.append(Flag("repeated", FAULT, f"{words} twice with equal values: merged"))
        keep = np.concatenate(([True], ~same))
        nm, raw = nm[keep], raw[keep]
        wide = None if wide is None else wide[keep]
        if nm.size < 2:
            raise ScanError("expected at least 2 different wavelengths, got 1")
    return nm, raw, wide, tuple(met)
