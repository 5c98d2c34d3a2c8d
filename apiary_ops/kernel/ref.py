"""Naming a row of another app without knowing that app: "order:2027-0042"."""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Ref:
    """What kind of thing, and its key: the source of a posting, a stored file or a stamp.

    `kind` is lower-case words joined by hyphens, `key` has no spaces. Raises ValueError otherwise.
    """

    kind: str
    key: str

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z]+(-[a-z]+)*", self.kind):
            raise ValueError(f"“{self.kind}” is not a kind; use lower-case words joined by hyphens.")
        if not re.fullmatch(r"\S+", self.key):
            raise ValueError(f"“{self.key}” is not a key; it needs at least one character and no spaces.")

    @classmethod
    def parse(cls, text: str) -> "Ref":
        """The reference written as "order:2027-0042". Raises ValueError when it is not one."""
        kind, colon, key = text.partition(":")
        if not colon:
            raise ValueError(f"“{text}” is not a reference; write it like order:2027-0042.")
        return cls(kind, key)

    def __str__(self) -> str:
        return f"{self.kind}:{self.key}"
