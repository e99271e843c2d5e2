"""Colour fidelity for N scans at once: Rf, Rg and the 16 hue bins (ANSI/IES TM-30; Rf as CIE 224).

All samples' reflectances times the colour-matching functions are folded into the weights, so that a scan's tristimulus
values under every sample come from the one matrix multiplication. A reference light needs no spectrum (references.py).
"""

from __future__ import annotations

from functools import cache, partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core import references
from spectui.core.appearance import uniform
from spectui.core.colour import NEEDS as COLOUR_NEEDS
from spectui.core.colour import Colour, colour, lit, reason
from spectui.core.metric import Array, Metric, Spectra
from spectui.core.tables import table
from spectui.core.weights import Weight, weight

SAMPLES, BINS = 99, 16
_MIDDLE = np.radians(22.5 * np.arange(BINS) + 11.25)
_COS, _SIN = np.cos(_MIDDLE), np.sin(_MIDDLE)
_NEXT = (np.arange(BINS) + 1) % BINS
_Ucs = tuple[Array, Array, Array]


class Fidelity(NamedTuple):
    """TM-30: rf, rg (N,); local fidelity, chroma shift [%] and hue shift of each bin (N, 16)."""

    rf: Array
    rg: Array
    local: Array
    chroma: Array
    hue: Array


@cache
def evaluation_samples() -> Weight:
    """Return the 99 samples under the 10° observer: X of all, Y of all, Z of all, then X, Y, Z of the white."""
    reflectance, observer = table("ces"), table("cie1964")
    nm = reflectance[:, 0]
    functions = observer[np.searchsorted(observer[:, 0], nm), 1:]
    seen = [functions[:, k : k + 1] * reflectance[:, 1:] for k in range(3)]
    return weight("ces", nm, np.concatenate((*seen, functions), axis=1))


@cache
def _reference_samples() -> references.Seen:
    """Return the evaluation samples; the last column is the 2° luminance by which Planck and daylight are mixed."""
    w = evaluation_samples()
    observer = table("cie1931")
    luminance = observer[np.searchsorted(observer[:, 0], w.wavelength), 2:3]
    return references.seen(w.wavelength, np.concatenate((w.weight, luminance), axis=1), w.weight.shape[1])


def fidelity(spectra: Spectra) -> Fidelity:
    """Return the TM-30 results, NaN where the light has no colour temperature; computed once for all its metrics."""
    found = spectra.shared.get("fidelity")
    if found is None:
        found = spectra.shared["fidelity"] = _fidelity(
            spectra["ces"], colour(spectra), lit(spectra, spectra["ces"], SAMPLES)
        )
    result: Fidelity = found
    return result


def _fidelity(seen: Array, light: Colour, white: NDArray[np.bool_]) -> Fidelity:
    cct = np.where(light.why == 0, light.cct, 4500.0)
    what = _reference_samples()
    # Planck's law below 4000 K, daylight above 5000 K, and in between a mixture by equal luminance.
    mix = np.minimum(np.maximum((cct - 4000.0) / 1000.0, 0.0), 1.0)[:, np.newaxis]
    reference = references.under_planck(what, cct)
    reference *= 1.0 - mix
    reference += mix * references.under_daylight(what, cct)
    ours, theirs = uniform(seen, SAMPLES), uniform(reference, SAMPLES)
    return _judged(ours, theirs, white)


def _judged(ours: _Ucs, theirs: _Ucs, white: NDArray[np.bool_]) -> Fidelity:
    j, a, b = ours
    j0, a0, b0 = theirs
    rows = len(a)
    apart = np.sqrt((j - j0) ** 2 + (a - a0) ** 2 + (b - b0) ** 2)
    place = (_bin(a0, b0) + BINS * np.arange(rows)[:, np.newaxis]).ravel()

    def per_bin(what: Array) -> Array:
        return np.asarray(np.bincount(place, what.ravel(), rows * BINS).reshape(rows, BINS), dtype=np.float64)

    count = np.bincount(place, minlength=rows * BINS).reshape(rows, BINS)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(count > 0, 1.0 / count, np.nan)
        share[~white] = np.nan
        a1, b1, a2, b2 = (per_bin(x) * share for x in (a, b, a0, b0))
        local = _index(per_bin(apart) * share)
    reach = np.sqrt(a2 * a2 + b2 * b2)
    da, db = a1 - a2, b1 - b2
    return Fidelity(
        np.where(white, _index(apart.mean(axis=1)), np.nan),
        100.0 * _area(a1, b1) / _area(a2, b2),
        local,
        100.0 * (da * _COS + db * _SIN) / reach,
        (db * _COS - da * _SIN) / reach,
    )


def _index(apart: Array) -> Array:
    """Turn a mean colour difference into a fidelity index, 0-100 (CIE 224)."""
    return np.asarray(10.0 * np.log1p(np.exp(10.0 - 0.673 * apart)))


def _bin(a: Array, b: Array) -> NDArray[np.intp]:
    """Return the hue bin 0-15 of each sample, 22.5° each from +a, by comparing slopes: no arc tangent."""
    x, y = np.abs(a), np.abs(b)
    # In a quadrant the boundaries stand at 22.5, 45 and 67.5 degrees.
    step = (y >= x * (np.sqrt(2.0) - 1.0)).astype(np.int8)
    step += y >= x
    step += y >= x * (np.sqrt(2.0) + 1.0)
    left, below = a < 0, b < 0
    return np.asarray(
        np.where(below, np.where(left, 8 + step, 15 - step), np.where(left, 7 - step, step)), dtype=np.intp
    )


def _area(a: Array, b: Array) -> Array:
    """Return the area of the polygon of the bins' means."""
    return np.asarray(0.5 * (a * b[:, _NEXT] - a[:, _NEXT] * b).sum(axis=1))


_TM30 = "ANSI/IES TM-30, CIE 224:2017"
_NEEDS = (*COLOUR_NEEDS, evaluation_samples)


def _one(name: str, spectra: Spectra) -> Array:
    return np.asarray(getattr(fidelity(spectra), name))


def _of_bin(name: str, k: int, spectra: Spectra) -> Array:
    return np.asarray(getattr(fidelity(spectra), name)[:, k])


def _bin_reason(spectra: Spectra, row: int) -> str:
    return reason(spectra, row) if np.isnan(fidelity(spectra).rf[row]) else "no sample in a hue bin"


def _bins(word: str, field: str, unit: str, definition: str, formula: str) -> tuple[Metric, ...]:
    return tuple(
        Metric(
            f"{word}_h{k + 1}",
            unit,
            f"{word}_h{k + 1}",
            f"{definition} of hue bin {k + 1} ({22.5 * k:g}-{22.5 * k + 22.5:g}°)",
            formula,
            _TM30,
            _NEEDS,
            partial(_of_bin, field, k),
            undefined=_bin_reason,
            part=True,
        )
        for k in range(BINS)
    )


METRICS: tuple[Metric, ...] = (
    Metric(
        "rf",
        "1",
        "Rf",
        "colour fidelity index, 99 samples",
        "10·ln(exp((100 − 6.73·mean ΔE′)/10) + 1)",
        _TM30,
        _NEEDS,
        partial(_one, "rf"),
        undefined=reason,
    ),
    Metric(
        "rg",
        "1",
        "Rg",
        "gamut index: 100 as saturated as the reference",
        "100 · area of the hue bins' means / that of the reference",
        _TM30,
        _NEEDS,
        partial(_one, "rg"),
        undefined=_bin_reason,
    ),
    *_bins("rf", "local", "1", "local colour fidelity", "as Rf, over the samples of the bin"),
    *_bins(
        "rcs", "chroma", "%", "local chroma shift", "shift of the bin's mean along its hue / the reference's chroma"
    ),
    *_bins("rhs", "hue", "1", "local hue shift", "shift of the bin's mean across its hue / the reference's chroma"),
)
