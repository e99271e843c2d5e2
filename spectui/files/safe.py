"""Text of a file made safe to show: no control, direction or invisible character reaches a terminal."""

from __future__ import annotations

import re

# C0, DEL and C1; soft hyphen; Arabic letter mark; Mongolian vowel separator; zero-width and direction marks; line and
# paragraph separators; embeddings, overrides and isolates; word joiner and invisible operators; byte order mark;
# interlinear marks; lone surrogates; tag characters.
_UNSAFE = (
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ud800-\udfff"
    "\U000e0000-\U000e007f]"
)
_UNSAFE_OR_WIDE = _UNSAFE[:-1] + "\u0080-\U0010ffff]"


def safe(text: str, ascii: bool = False) -> str:
    """Return `text` for a terminal: each control, direction or zero-width character becomes U+FFFD.

    With `ascii` every character outside printable ASCII is written as \\xNN, or \\u{…} beyond U+00FF.
    Tabs and line breaks count as controls, so the result is always one line. Markup is left as it is.
    """
    # Most texts need nothing, and compiling so wide a pattern takes longer than reading a file (re keeps it then).
    if text.isprintable() and (text.isascii() or not ascii):
        return text
    if ascii:
        return re.sub(_UNSAFE_OR_WIDE, _escaped, text)
    return re.sub(_UNSAFE, "\ufffd", text)


def _escaped(match: re.Match[str]) -> str:
    code = ord(match[0])
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{{{code:x}}}"


def shown(text: str, longest: int = 40) -> str:
    """Return a piece of a file for an error message: safe, in quotes, cut to `longest` characters."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return f"'{safe(cut)}'"
