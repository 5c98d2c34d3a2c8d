"""What is wrong with a file or with a cell of it, in words that the doors translate."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


def gettext_noop(words: str) -> str:
    """Mark words for the translators; whoever shows them translates them."""
    return words


@dataclass(frozen=True, slots=True)
class Saying:
    """A sentence with its places still open: `words % facts`. A fact may be a saying itself."""

    words: str
    facts: Mapping[str, Any] = field(default_factory=dict)


class Unreadable(Exception):
    """The file as a whole cannot be read; `saying` tells why and what to do."""

    def __init__(self, words: str, /, **facts: Any) -> None:
        super().__init__(words % facts)
        self.saying = Saying(words, facts)


class Refused(Exception):
    """One cell cannot be read; `saying` tells why and what to do."""

    def __init__(self, words: str, /, **facts: Any) -> None:
        super().__init__(words % facts)
        self.saying = Saying(words, facts)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong in one line of a file; `column` is our name of the column, empty for the whole line."""

    line: int
    column: str
    saying: Saying
    said: str = ""  # what the cell holds
