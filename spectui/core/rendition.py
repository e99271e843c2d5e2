"""How colours look under a scan's light: Ra and R1-R14, Rf, Rg and the hue bins of each scan in one frozen result."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from spectui.core import quality
from spectui.core.cri import TEST_COLOURS
from spectui.core.fidelity import BINS
from spectui.core.metrics import metrics
from spectui.core.results import Result
from spectui.core.scan import Scan

_BIN = ("rf", "rcs", "rhs")
KEYS: tuple[str, ...] = (
    *("cct", "duv", "ra", *(f"r{k}" for k in range(1, TEST_COLOURS + 1)), "rf", "rg"),
    *(f"{word}_h{k}" for word in _BIN for k in range(1, BINS + 1)),
)


class HueBin(NamedTuple):
    """One of the 16 hue bins of ANSI/IES TM-30; bin 1 begins at +a′, and None stands where no sample falls into it."""

    bin: int
    local_fidelity: float | None
    chroma_shift_percent: float | None
    hue_shift: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Rendition:
    """The colour rendition of one scan. `result` holds the same numbers as metrics, each with its unit and reason."""

    result: Result

    @property
    def scan(self) -> Scan:
        """The scan."""
        return self.result.scan

    @property
    def cct(self) -> float | None:
        """Correlated colour temperature [K]."""
        return self.result["cct"].value

    @property
    def duv(self) -> float | None:
        """Distance from the Planckian locus in CIE 1960 u, v."""
        return self.result["duv"].value

    @property
    def ra(self) -> float | None:
        """General colour rendering index."""
        return self.result["ra"].value

    @property
    def rf(self) -> float | None:
        """Fidelity index."""
        return self.result["rf"].value

    @property
    def rg(self) -> float | None:
        """Gamut index."""
        return self.result["rg"].value

    @property
    def r(self) -> tuple[float | None, ...]:
        """R1 to R14."""
        return tuple(self.result[f"r{k}"].value for k in range(1, TEST_COLOURS + 1))

    @property
    def hue_bins(self) -> tuple[HueBin, ...]:
        """The 16 hue bins."""
        found = self.result
        return tuple(HueBin(k, *(found[f"{word}_h{k}"].value for word in _BIN)) for k in range(1, BINS + 1))

    @property
    def unavailable(self) -> str | None:
        """Why numbers are missing, None where all are there; of several reasons each once."""
        reasons = dict.fromkeys(value.unavailable for value in self.result.values.values() if value.unavailable)
        return "; ".join(reasons) or None

    def as_dict(self) -> dict[str, Any]:
        """Return the scan's object of `rendition --json`; `index` only where the file holds several scans."""
        scan, found = self.scan, self.result
        head: dict[str, Any] = {"source": scan.source} | ({} if scan.index is None else {"index": scan.index})
        return head | {
            **{key: found[key].value for key in ("cct", "duv", "ra")},
            "r": list(self.r),
            **{key: found[key].value for key in ("rf", "rg")},
            "hue_bins": [bin._asdict() for bin in self.hue_bins],
            "unavailable": self.unavailable,
        }


def rendition(scans: Scan | Sequence[Scan], *, limits: quality.Limits = quality.DEFAULTS) -> list[Rendition]:
    """Compute the colour rendition of scans, one result for each in their order.

    limits: what counts as a doubt, for the flags of the results.
    """
    return [Rendition(result) for result in metrics(scans, KEYS, limits=limits)]
