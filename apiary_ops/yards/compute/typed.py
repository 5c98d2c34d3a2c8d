"""What a person typed into a narrow cell: frames in halves, and words cut short."""

import re
from collections.abc import Iterable, Mapping

_FRAMES = re.compile(r"(?P<whole>\d{1,2})?\s*(?:[.,](?P<tenths>\d))?\s*(?P<half>½|1/2)?\Z")


def halves_from(text: str) -> int | None:
    """Half frames from "5", "5.5", "5,5", "5½" or "5 1/2"; None when it is not so many whole or half frames."""
    found = _FRAMES.match(text.strip().replace("1/2", "½"))
    if found is None or not any(found.groups()):
        return None
    whole, tenths, half = found["whole"], found["tenths"], found["half"]
    if tenths is not None and (half or whole is None or tenths not in "05"):
        return None
    return 2 * int(whole or 0) + (tenths == "5" or half is not None)


def meant_by(text: str, words: Mapping[str, Iterable[str]]) -> list[str]:
    """The values that a word cut short can stand for: one when it is understood, several when it is not plain.

    `words` names, for each value, the words a person may type for it. A whole word wins over the beginning of others.
    """
    typed = text.strip().casefold()
    known = {value: [word.casefold() for word in spoken] for value, spoken in words.items()}
    if whole := [value for value, spoken in known.items() if typed in spoken]:
        return whole
    return [value for value, spoken in known.items() if any(word.startswith(typed) for word in spoken)]
