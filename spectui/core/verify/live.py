"""The part that needs colour-science: its spectra of lamps, and its own results computed now, beside ours.

Only here is it imported, late: it takes half a second and more.
"""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np

from spectui.core.metric import Array
from spectui.core.metrics import catalogue, evaluate
from spectui.core.verify.check import Check, attempted, words
from spectui.core.verify.lights import Light

NAME, VERSION = "colour-science", "0.4.7"
SUBJECT = "Live against colour-science"
RULE = "sum, linear to 1 nm, own range within 360-780 nm"
# One lamp of each kind: incandescent, daylight, fluorescent (standard, broad-band, three-band), sodium, metal halide,
# mercury, and LEDs with phosphor, blue and red, three colours, violet pump.
LAMPS = (
    "A", "D65", "FL2", "FL7", "FL11", "HP1", "HP5", "Mercury", "LED-B3", "LED-BH1", "LED-RGB1", "LED-V1",
)  # fmt: skip
# Metric key → how far two implementations may stand apart; a share of the value for illuminance.
TOLERANCES = {"cct": 0.1, "duv": 1e-6, "ra": 0.02, "rf": 2e-3, "rg": 2e-3, "illuminance": 1e-6}


def library() -> Any:
    """Import colour-science and return it; what it says about optional packages is kept off the terminal."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


def lamp(name: str, grid: str) -> Light:
    """Return a spectrum that colour-science carries. grid: "own", "linear" to 1 nm, or "held" to 360-780 nm."""
    colour = library()
    known = colour.SDS_ILLUMINANTS if name in colour.SDS_ILLUMINANTS else colour.SDS_LIGHT_SOURCES
    nm = np.asarray(known[name].wavelengths, dtype=np.float64)
    values = np.asarray(known[name].values, dtype=np.float64)
    if grid == "own":
        return nm, values
    fine: Array = np.arange(nm[0], nm[-1] + 0.5) if grid == "linear" else np.arange(360.0, 780.5)
    return fine, np.interp(fine, nm, values)


def _seen(name: str) -> Light:
    """Return a lamp at 1 nm over its own range within 360-780 nm, with a dark nanometre at each end.

    colour-science continues a spectrum with its end values, 380 down to 360 nm; from the dark nothing is continued.
    """
    nm, values = lamp(name, "linear")
    seen = (nm >= 360.0) & (nm <= 780.0)
    nm, values = nm[seen], values[seen]
    return np.concatenate((nm[:1] - 1.0, nm, nm[-1:] + 1.0)), np.concatenate(([0.0], values, [0.0]))


def _theirs(nm: Array, values: Array) -> dict[str, float]:
    import warnings

    colour = library()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")

        def sd() -> Any:  # a fresh one each time: TM-30 trims the spectrum that it is given
            return colour.SpectralDistribution(values, nm, interpolator=colour.LinearInterpolator)

        uv = colour.UCS_to_uv(colour.XYZ_to_UCS(colour.sd_to_XYZ(sd())))
        cct, duv = colour.temperature.uv_to_CCT_Ohno2013(uv)
        fidelity = colour.quality.colour_fidelity_index_ANSIIESTM3018(sd(), additional_data=True)
        found = {
            "cct": cct,
            "duv": duv,
            "ra": colour.colour_rendering_index(sd()),
            "rf": fidelity.R_f,
            "rg": fidelity.R_g,
            "illuminance": colour.luminous_flux(sd()),
        }
    return {key: float(value) for key, value in found.items()}


def planned() -> int:
    """Return how many live checks there are."""
    return len(LAMPS) * len(TOLERANCES)


def checks(name: str, missing: str | None) -> list[Check]:
    """Return the live checks of one lamp; where `missing` says why they cannot be run, or one fails, the same unrun."""
    known = catalogue()
    where = f"{NAME} {VERSION}, computed live"
    plan = [
        Check(f"{known[key].name} of {name}", where, RULE, None, None, tolerance, unit=known[key].unit, subject=SUBJECT)
        for key, tolerance in TOLERANCES.items()
    ]
    if missing is None:
        try:
            nm, values = _seen(name)
            theirs, where = _theirs(nm, values), f"{NAME} {library().__version__}, computed live"
            ours = evaluate(nm, values, TOLERANCES, rule="sum")
        except Exception as error:
            missing = f"not run: {words(error)}"
    if missing is not None:
        return [check.without(missing) for check in plan]
    results = []
    for key, check in zip(TOLERANCES, plan, strict=True):
        share = abs(theirs[key]) if key == "illuminance" else 1.0
        check = check._replace(source=where, expected=theirs[key], tolerance=TOLERANCES[key] * share)
        results.append(attempted(check, partial(float, ours[key])))
    return results
