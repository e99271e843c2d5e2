"""Every error of spectui derives from SpectuiError; each message names what was expected, what came, and what to do."""


class SpectuiError(Exception):
    """Base of all errors that spectui raises on purpose."""


class ScanError(SpectuiError):
    """A spectrum that cannot be a scan: too short, not finite, wavelengths out of range or contradictory."""


class UnitError(SpectuiError):
    """A unit that is unknown, or two declarations that differ."""


class FileError(SpectuiError):
    """A file that cannot be read or written.

    `source` is the path as given, `line` the 1-based line (None where there is none).
    """

    def __init__(self, source: str, message: str, line: int | None = None) -> None:
        self.source = source
        self.line = line
        self.message = message if line is None else f"line {line}: {message}"
        super().__init__(f"{source}: {self.message}")


class NotAScan(FileError):
    """The content is no scan at all (a photo, a README): a folder walk passes over it, a named path is an error."""


class UsageError(SpectuiError):
    """A call, layout, theme or keymap that is malformed (exit code 2)."""
