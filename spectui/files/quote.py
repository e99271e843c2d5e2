"""Text that a line-based format cannot hold as it is, written as a JSON string and read back to the character."""

from __future__ import annotations


def is_plain(text: str, avoid: tuple[str, ...] = ()) -> bool:
    """True where `text` survives on one line as it is: printable, not empty, no outer space, no leading quote."""
    return (
        text != ""
        and text == text.strip()
        and text.isprintable()
        and not text.startswith('"')
        and not any(mark in text for mark in avoid)
    )


def escape(character: str) -> str:
    r"""Return the JSON escape of one character, as \uXXXX (a pair above U+FFFF)."""
    code = character.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{code[at : at + 4]}" for at in range(0, len(code), 4))


def pieces(text: str, avoid: str = "") -> list[str]:
    r"""Return the inside of a JSON string as one item a character; what is not printable or in `avoid` is escaped."""
    named = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
    return [
        named.get(c) or (c if c.isprintable() and c not in avoid else escape(c))  # a name, the character or its code
        for c in text
    ]


def quote(text: str, avoid: str = "") -> str:
    """Return `text` as a JSON string of printable characters, those of `avoid` escaped."""
    return f'"{"".join(pieces(text, avoid))}"'


def unquote(text: str) -> str:
    """Return the text of a JSON string; anything else comes back as it is."""
    if len(text) < 2 or not (text.startswith('"') and text.endswith('"')):
        return text
    import json

    try:
        value = json.loads(text)
    except ValueError:
        return text
    return value if isinstance(value, str) else text
