"""Text that a spreadsheet would take for a formula: defused on the way out, the same again on the way in."""

import re

PLAIN_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\0")


def spreadsheet_safe(text: str) -> str:
    """`text` with a single quote before it if a spreadsheet would take it for a formula; plain numbers stay numbers.

    Source: OWASP ASVS 5.0.0, 1.2.10 (cells starting with =, +, -, @, tab or NUL).
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) and not PLAIN_NUMBER.fullmatch(text) else text


def quoted(text: str) -> str:
    """`text` so that `unquoted` gives it back: what already begins like quoted text is quoted once more."""
    return f"'{text}" if text[:1] == "'" and text[1:2] in ("'", *FORMULA_STARTS) else text


def unquoted(text: str) -> str:
    """Text without the single quote that keeps it from being a formula; any other leading quote stays."""
    return text[1:] if text[:1] == "'" and text[1:2] in ("'", *FORMULA_STARTS) else text
