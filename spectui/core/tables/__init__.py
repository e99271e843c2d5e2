"""The published tables that spectui ships: one text file each, its source, step, unit and known total in its header.

`build.py` beside this file writes them; it is never imported at run time.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_FOLDER = Path(__file__).parent


@cache
def table(name: str) -> NDArray[np.float64]:
    """Return a shipped table, (rows, columns) float64, read-only; column 0 is the wavelength [nm], increasing.

    - `am15g` (2002, 2): ASTM G173-03 hemispherical irradiance on a 37° tilt [W m-2 nm-1], 280-4000 nm at its own
      steps. Trapezoid over all rows: 1000.371 W m-2.
    - `photopic` (471, 2): CIE 1924 V(λ), 360-830 nm at 1 nm. Plain sum: 106.8569.
    - `cie1931` (471, 4): CIE 1931 2° colour-matching functions, 360-830 nm at 1 nm.
      Plain sums: 106.8655, 106.8569, 106.8923.

    Raises KeyError where there is no such table.
    """
    path = _FOLDER / f"{name}.csv"
    if not name.isidentifier() or not path.is_file():
        raise KeyError(f"no table {name!r}: expected one of {', '.join(sorted(p.stem for p in _FOLDER.glob('*.csv')))}")
    # One pass over the numbers by numpy: np.loadtxt and the csv module take several times as long at every start.
    rows = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    columns = rows[0].count(",") + 1
    values = np.fromstring(",".join(rows[1:]), sep=",").reshape(-1, columns)
    values.flags.writeable = False
    return values
