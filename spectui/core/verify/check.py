"""The frozen results of a verification."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

NOT_DEFINED = "the program has no value here"


class Check(NamedTuple):
    """One quantity against its expected value.

    source: where the expected value is from. rule: how both were integrated, and on which grid. expected and tolerance
    are numbers in `unit`. found: None where there is no number (`expected` too where it would have been computed now),
    and `unavailable` says why. ok: the found value lies within the tolerance. subject: the heading above it.
    """

    quantity: str
    source: str
    rule: str
    expected: float | None
    found: float | None
    tolerance: float
    ok: bool = False
    unit: str = "1"
    subject: str = ""
    unavailable: str | None = None

    @property
    def ran(self) -> bool:
        """False where the check could not be run at all; `unavailable` says why."""
        return self.unavailable in (None, NOT_DEFINED)

    def without(self, reason: str) -> Check:
        """Return the check without a number, for this reason."""
        return self._replace(found=None, ok=False, unavailable=reason)

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON object; `unavailable` stands in it only where a number is missing."""
        fields = self._asdict()
        del fields["subject"]
        if self.unavailable is None:
            del fields["unavailable"]
        return fields


def attempted(check: Check, find: Callable[[], float]) -> Check:
    """Return the check with what `find` finds; where it fails the check was not run, and says so.

    A record of a broken installation is still a record, so whatever is raised becomes the reason.
    """
    try:
        found = float(find())
    except Exception as error:
        return check.without(f"not run: {words(error)}")
    if found != found:
        return check.without(NOT_DEFINED)
    ok = check.expected is not None and abs(found - check.expected) <= check.tolerance
    return check._replace(found=found, ok=ok, unavailable=None)


def words(error: Exception) -> str:
    """Return an error as a reason."""
    return f"{type(error).__name__}: {error}"


@dataclass(frozen=True, slots=True)
class Verification:
    """Every check, in order. It is the record of one installation's calculation."""

    checks: tuple[Check, ...]

    @property
    def ok(self) -> bool:
        """True only where there are checks, every one was run and every one holds."""
        return bool(self.checks) and all(check.ok for check in self.checks)

    @property
    def failed(self) -> tuple[Check, ...]:
        """The checks that do not hold."""
        return tuple(check for check in self.checks if check.ran and not check.ok)

    @property
    def not_run(self) -> tuple[Check, ...]:
        """The checks that could not be run; `unavailable` says why."""
        return tuple(check for check in self.checks if not check.ran)

    def as_dict(self) -> dict[str, Any]:
        """Return the document of `verify --json`."""
        return {"checks": [check.as_dict() for check in self.checks], "ok": self.ok}
