"""The values of a payload, taken out one by one. What is missing or null was not looked at and stays so."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal, InvalidOperation
from typing import Any

from apiary_ops.kernel.refusals import RuleBroken


class Unreadable(RuleBroken):
    """A value of a payload is not what its kind and version say it is."""


@dataclass(frozen=True, slots=True)
class Payload:
    """A payload as it came off the wire; every method raises Unreadable for a value of the wrong kind."""

    values: dict[str, Any]

    def has(self, name: str) -> bool:
        return self.values.get(name) is not None

    def whole(self, name: str, least: int, most: int) -> int | None:
        """A whole number in a range."""
        value = self.values.get(name)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise Unreadable(f"“{name}” must be a whole number from {least} to {most}.")
        return value

    def decimal(self, name: str, places: int) -> Decimal | None:
        """A decimal number, sent as text such as "6.5" or as a number, rounded to no more than `places`."""
        value = self.values.get(name)
        if value is None or value == "":
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise Unreadable(f"“{name}” must be a number such as 6.5.")
        try:
            number = Decimal(str(value).strip().replace(",", "."))
        except InvalidOperation:
            raise Unreadable(f"“{name}” must be a number such as 6.5.") from None
        if not number.is_finite() or abs(number) >= 1_000_000 or number != round(number, places):
            raise Unreadable(f"“{name}” must be a number below a million with no more than {places} decimals.")
        return round(number, places)

    def word(self, name: str, choices: Collection[str]) -> str:
        """One of `choices`; empty when it was not looked at."""
        value = self.values.get(name)
        if value is None or value == "":
            return ""
        if not isinstance(value, str) or value not in choices:
            raise Unreadable(f"“{name}” must be one of {', '.join(filter(None, choices))}.")
        return value

    def text(self, name: str, most: int) -> str:
        """Free text, without the space around it."""
        value = self.values.get(name)
        if value is None:
            return ""
        if not isinstance(value, str) or len(value.strip()) > most:
            raise Unreadable(f"“{name}” must be text of at most {most} characters.")
        return value.strip()

    def named(self, name: str, most: int) -> str:
        """Text that must be there: a tag, a code."""
        value = self.text(name, most)
        if not value:
            raise Unreadable(f"“{name}” is missing.")
        return value

    def yes(self, name: str) -> bool:
        """A tap: true, or not tapped."""
        value = self.values.get(name)
        if value is None:
            return False
        if not isinstance(value, bool):
            raise Unreadable(f"“{name}” must be true or false.")
        return value

    def day(self, name: str) -> date:
        value = self.values.get(name)
        try:
            day = date.fromisoformat(value) if isinstance(value, str) else None
        except ValueError:
            day = None
        if day is None or not 2000 <= day.year <= 2099:
            raise Unreadable(f"“{name}” must be a day such as 2027-04-03.")
        return day

    def hour(self, name: str) -> time | None:
        """A time of day, to the minute."""
        value = self.values.get(name)
        if value is None or value == "":
            return None
        try:
            hour = time.fromisoformat(value) if isinstance(value, str) else None
        except ValueError:
            hour = None
        if hour is None or hour.tzinfo is not None:
            raise Unreadable(f"“{name}” must be a time of day such as 09:30.")
        return hour.replace(second=0, microsecond=0)

    def rows(self, name: str, most: int = 100) -> list[Any]:
        """A list; empty when it is missing."""
        value = self.values.get(name)
        if value is None:
            return []
        if not isinstance(value, list) or len(value) > most:
            raise Unreadable(f"“{name}” must be a list of at most {most}.")
        return value

    def words(self, name: str, choices: Collection[str]) -> tuple[str, ...]:
        """Some of `choices`, each once, in the order given."""
        found = [Payload({name: value}).word(name, choices) for value in self.rows(name)]
        return tuple(dict.fromkeys(filter(None, found)))

    def numbers(self, name: str) -> tuple[int, ...]:
        """Ids, each once, in the order given."""
        found = [Payload({name: value}).whole(name, 1, 2**31 - 1) for value in self.rows(name)]
        return tuple(dict.fromkeys(number for number in found if number is not None))

    def parts(self, name: str) -> list["Payload"]:
        """A list of payloads of their own."""
        rows = self.rows(name)
        if not all(isinstance(row, dict) for row in rows):
            raise Unreadable(f"“{name}” must be a list of named values.")
        return [Payload(row) for row in rows]

    def counts(self, name: str, most: int) -> dict[str, int]:
        """Words with a whole number each."""
        value = self.values.get(name)
        if value is None:
            return {}
        if not isinstance(value, dict) or len(value) > 50:
            raise Unreadable(f"“{name}” must be words with a number each.")
        counted = {word: Payload(value).whole(word, 0, most) for word in value}
        return {word: number for word, number in counted.items() if number is not None}
