"""What a column takes, and how each of its values is written again so that it reads back the same."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from apiary_ops.kernel import units
from apiary_ops.kernel.rounding import half_up

from .days import Ways, day_of
from .faults import Refused, gettext_noop
from .grid import Cell

Written = str | Decimal | date  # what is put into a cell
NUMBER = re.compile(r"([+-]?[0-9]{1,9})(?:[.,]([0-9]{1,2}))?")
FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75"}
CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")
YES = frozenset({"yes", "y", "x", "true", "1", "✓", "✔"})
NO = frozenset({"no", "n", "false", "0", "-", "–"})


class Kind(Protocol):
    """A kind of value. `read` is never given an empty cell and raises Refused; `write` is never given None."""

    def read(self, cell: Cell, ways: Ways) -> Any: ...

    def write(self, value: Any) -> Written: ...

    @property
    def example(self) -> str: ...


def plain(cell: Cell) -> str:
    """A cell as a person would type it."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, Decimal):
        return f"{cell.normalize():f}"
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def number_of(cell: Cell) -> Decimal:
    """A number with at most two places; comma and point are both decimal marks, thousands are not set apart."""
    if isinstance(cell, Decimal) and cell.is_finite() and abs(cell) < 10**9:
        return cell
    text = plain(cell).replace("−", "-")
    if text[-1:] in FRACTIONS:
        text = (text[:-1].rstrip() or "0") + FRACTIONS[text[-1]]
    match = NUMBER.fullmatch(text)
    if isinstance(cell, bool | date) or match is None:
        raise Refused(gettext_noop("This is not a number. Write it in digits, such as 5.5."))
    return Decimal(f"{match[1]}.{match[2] or 0}")


@dataclass(frozen=True, slots=True)
class TextKind:
    """Words, at most so many letters; `form` and `ask` say how they must look, `capitals` how they are kept."""

    longest: int
    example: str = ""
    form: str = ""
    ask: str = ""
    capitals: bool = False

    def read(self, cell: Cell, ways: Ways) -> str:
        text = plain(cell).upper() if self.capitals else plain(cell)
        if CONTROLS.search(text):
            raise Refused(gettext_noop("There are characters here that cannot be seen. Type the words anew."))
        if len(text) > self.longest:
            raise Refused(gettext_noop("This is too long: at most %(longest)s letters."), longest=self.longest)
        if self.form and not re.fullmatch(self.form, text):
            raise Refused(self.ask)
        return text

    def write(self, value: str) -> Written:
        return value


@dataclass(frozen=True, slots=True)
class WholeKind:
    """A whole number within bounds."""

    least: int
    most: int
    example: str = ""

    def read(self, cell: Cell, ways: Ways) -> int:
        number = number_of(cell)
        if number != int(number):
            raise Refused(gettext_noop("This is not a whole number."))
        if not self.least <= number <= self.most:
            raise Refused(gettext_noop("It must lie between %(least)s and %(most)s."), least=self.least, most=self.most)
        return int(number)

    def write(self, value: int) -> Written:
        return Decimal(value)


@dataclass(frozen=True, slots=True)
class HalvesKind:
    """Frames counted in halves, kept as a number of half frames."""

    most: int  # half frames
    example: str = "5.5"

    def read(self, cell: Cell, ways: Ways) -> int:
        halves = number_of(cell) * 2
        if halves != int(halves):
            raise Refused(gettext_noop("Frames are counted in halves, such as 5 or 5.5."))
        if not 0 <= halves <= self.most:
            raise Refused(gettext_noop("Frames must lie between 0 and %(most)s."), most=self.most // 2)
        return int(halves)

    def write(self, value: int) -> Written:
        return (Decimal(value) / 2).normalize()


@dataclass(frozen=True, slots=True)
class DegreesKind:
    """A temperature of the air read in "C" or "F", kept in °C to a tenth."""

    unit: str
    lowest_c: int = -30
    highest_c: int = 45

    @property
    def example(self) -> str:
        return "43" if self.unit == "F" else "6.5"

    def read(self, cell: Cell, ways: Ways) -> Decimal:
        degrees = number_of(cell)
        celsius = Decimal(str(units.celsius(float(degrees)))) if self.unit == "F" else degrees
        if not self.lowest_c <= celsius <= self.highest_c:
            raise Refused(
                gettext_noop("The temperature must lie between %(lowest)s and %(highest)s °%(unit)s."),
                lowest=self._shown(Decimal(self.lowest_c)),
                highest=self._shown(Decimal(self.highest_c)),
                unit=self.unit,
            )
        return half_up(celsius, 1)

    def write(self, value: Decimal) -> Written:
        return self._shown(value)

    def _shown(self, celsius: Decimal) -> Decimal:
        """To a tenth in either unit: a tenth of a degree Fahrenheit is finer than what is kept."""
        degrees = Decimal(str(units.fahrenheit(float(celsius)))) if self.unit == "F" else celsius
        return half_up(degrees, 1)


@dataclass(frozen=True, slots=True)
class DayKind:
    """A day, not after today unless it may lie `ahead`."""

    ahead: bool = False
    example: str = "2027-04-03"

    def read(self, cell: Cell, ways: Ways) -> date:
        day = day_of(cell, ways)
        if day > ways.today and not self.ahead:
            raise Refused(gettext_noop("This day is still to come. Facts are recorded once they have happened."))
        return day

    def write(self, value: date) -> Written:
        return value


@dataclass(frozen=True, slots=True)
class YesKind:
    """Yes or no; only yes is written, since no and not noted are kept alike."""

    example: str = "yes"

    def read(self, cell: Cell, ways: Ways) -> bool:
        word = plain(cell).casefold()
        if word not in YES | NO:
            raise Refused(gettext_noop("Write yes, or leave it empty."))
        return word in YES

    def write(self, value: bool) -> Written:
        return "yes" if value else ""


@dataclass(frozen=True, slots=True)
class WordKind:
    """One of the words of a list: value -> the word people know it by. Either is taken."""

    words: Mapping[str, str]
    also: Mapping[str, str] = field(default_factory=dict)  # other words -> value

    @property
    def example(self) -> str:
        return next(iter(self.words.values()), "")

    def read(self, cell: Cell, ways: Ways) -> str:
        said = plain(cell).casefold()
        for value, word in self.words.items():
            if said in (value.casefold(), word.casefold()):
                return value
        if said in self.also:
            return self.also[said]
        raise Refused(gettext_noop("This must be one of: %(words)s."), words=", ".join(self.words.values()))

    def write(self, value: str) -> Written:
        return self.words.get(value, value)
