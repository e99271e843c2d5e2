"""Print one invented scan as an instrument's own command would: a bundled fixture, fresh noise, the time of now.

Nothing of it is a measurement. The same --seed and --taken-at give the same bytes.

Example:
  spectui simulate --fixture bay-1-white-new --seed 7 > bench.csv
  spectui simulate --list
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from spectui.cli.exits import Exit
from spectui.cli.inputs import in_range
from spectui.cli.output import data, file
from spectui.core.errors import UsageError

if TYPE_CHECKING:
    from spectui.core.scan import Scan

FIRST = "bay-1-white-new"
FULL_SCALE = 65535
# Counts of a full fixture: well inside what an array instrument measures straight.
FULL_SHARE = 0.8


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--fixture", metavar="NAME", default=FIRST, help=f"which lamp (default: {FIRST}; see --list)")
    parser.add_argument("--seed", type=_seed, metavar="N", help="the noise of this number (default: new each time)")
    parser.add_argument(
        "--level", type=_percent, metavar="PERCENT", default=100.0, help="output of the lamp (default 100)"
    )
    parser.add_argument("--noise", type=_percent, metavar="PERCENT", default=0.05, help="of the peak (default 0.05)")
    parser.add_argument("--unit", metavar="U", default="W/m2/nm", help="W/m2/nm, umol/m2/s/nm, counts, relative, …")
    parser.add_argument("--taken-at", metavar="TIME", help="ISO 8601 (default: now)")
    parser.add_argument("--list", action="store_true", help="print the fixtures")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")
    form.add_argument("--csv", action="store_true", help="delimited text (the default)")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    known = fixtures()
    if args.list:
        _list(known, args.json)
        return Exit.DONE
    if args.fixture not in known:
        raise UsageError(f"unknown fixture {args.fixture!r}: expected one of {', '.join(known)}")
    scan = simulated(known[args.fixture], args.seed, args.level, args.noise, args.unit, args.taken_at)
    if args.json:
        from spectui.report.jsontext import document

        numbers = {"wavelength_nm": scan.wavelength.tolist(), "values": scan.values.tolist()}
        data(
            document(
                {"title": scan.title, "taken_at": scan.taken_at, "unit": scan.unit, "meta": dict(scan.meta)} | numbers
            )
        )
    else:
        from spectui.files.csvtext import text

        file(text([scan])[0])
    return Exit.DONE


def fixtures() -> dict[str, Path]:
    """Return the lamps that can be simulated: name to sample file."""
    from spectui.places import samples
    from spectui.shelf.folder import walk

    nursery = samples() / "nursery"
    return {path.stem: path for path in walk([nursery / "bars", nursery / "lamps"])}


def simulated(path: Path, seed: int | None, level: float, noise: float, unit: str, taken_at: str | None) -> Scan:
    """Return a scan of the lamp at `path`: level and noise in percent, values in `unit`.

    Its dates keep their distance from each other: the dark and the calibration are as old as in the sample.
    """
    import numpy as np

    from spectui.core.units import COUNTS, IRRADIANCE, RELATIVE, TRANSMITTANCE, parse_unit, to_internal
    from spectui.files.read import read

    wanted = parse_unit(unit)
    scan = read(path)[0]
    nm, values = scan.wavelength, scan.values
    peak = float(values.max())
    grain = np.random.default_rng(seed).standard_normal(nm.size)
    values = values * (level / 100.0) + noise / 100.0 * peak * max(level, 1.0) / 100.0 * grain
    meta = _moved(dict(scan.meta), taken_at)
    meta["notes"] = f"simulated from the sample {path.stem}: no measurement"
    meta["noise_percent"] = f"{noise:g}"
    if "dim_percent" in meta:
        meta["dim_percent"] = f"{float(meta['dim_percent']) * level / 100.0:g}"
    if wanted == TRANSMITTANCE:
        raise UsageError("a lamp has no transmittance: expected a unit of light, counts or relative")
    if wanted == RELATIVE:
        values = values / peak
    elif wanted == COUNTS:
        values = np.clip(np.round(values / peak * FULL_SHARE * FULL_SCALE), 0, FULL_SCALE)
        meta["full_scale_counts"] = str(FULL_SCALE)
    elif wanted != IRRADIANCE:
        values = values / to_internal(wanted, nm, np.ones_like(nm))[1]
    # Not Scan.build: the values are to be written in the unit that was asked for, not read into ours.
    return scan.with_(values=values, unit=wanted, given_unit=wanted, meta=meta, expanded_uncertainty=None)


def _moved(meta: dict[str, str], taken_at: str | None) -> dict[str, str]:
    from datetime import date, datetime

    if taken_at is None:
        now = datetime.now().astimezone()
        taken_at = now.isoformat(timespec="seconds")
    else:
        try:
            now = datetime.fromisoformat(taken_at)
        except ValueError:
            raise UsageError(
                f"--taken-at: expected ISO 8601 such as 2026-03-04T20:10:00+01:00, got {taken_at!r}"
            ) from None
    then = datetime.fromisoformat(meta["taken_at"])
    meta["taken_at"] = taken_at
    if "dark_taken_at" in meta:
        age = then - datetime.fromisoformat(meta["dark_taken_at"])
        meta["dark_taken_at"] = (now - age).isoformat(timespec="seconds")
    for key in ("calibrated_on", "calibration_due"):
        if key in meta:
            meta[key] = (date.fromisoformat(meta[key]) + (now.date() - then.date())).isoformat()
    return meta


def _list(known: dict[str, Path], as_json: bool) -> None:
    from spectui.files.read import read

    titles = {name: read(path)[0].title for name, path in known.items()}
    if as_json:
        from spectui.report.jsontext import document

        data(document({"fixtures": [{"fixture": name, "title": title} for name, title in titles.items()]}))
    else:
        width = max(map(len, titles), default=0)
        data("\n".join(f"{name:<{width}}  {title}" for name, title in titles.items()))


def _seed(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 20):
        raise argparse.ArgumentTypeError(f"expected a whole number, 0 or more, got {text}")
    return int(text)


def _percent(text: str) -> float:
    return in_range(text, 1000, "percent")
