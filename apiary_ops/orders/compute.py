"""Rules of orders: keys to find buyers by, numbers, prices, and what the deposit terms ask."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import SequenceMatcher

# Letters that are their own in Unicode, and what people type for them.
_LOOK_ALIKES = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
)
LONGEST_NAME_KEY = 200
LONGEST_PHONE_KEY = 20
# Digits a subscriber's number has at least; fewer say nothing about who it is.
LEAST_DIGITS_IN_COMMON = 7
# Assumption: closer than this, two names are shown to a person as perhaps one.
ALIKE_FROM = 0.86


def search_key(name: str) -> str:
    """The name as search compares it: small letters, no accents, single spaces."""
    folded = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", name).casefold())
    bare = "".join(letter for letter in folded if not unicodedata.combining(letter)).translate(_LOOK_ALIKES)
    return " ".join(bare.split())[:LONGEST_NAME_KEY]


def phone_key(phone: str) -> str:
    """The digits of a telephone number; one written in international form (+ or 00) keeps a leading +."""
    text = phone.strip()
    digits = "".join(str(unicodedata.decimal(letter)) for letter in text if letter.isdecimal())
    if text.startswith("+"):
        return f"+{digits}"[:LONGEST_PHONE_KEY] if digits else ""
    if digits.startswith("00") and len(digits) > LEAST_DIGITS_IN_COMMON + 2:
        return f"+{digits[2:]}"[:LONGEST_PHONE_KEY]
    return digits[:LONGEST_PHONE_KEY]


def phone_tail(key: str) -> str:
    """The end of a key that every way of writing the same number shares; empty when too short to say anything."""
    digits = key.removeprefix("+")
    return digits[-LEAST_DIGITS_IN_COMMON:] if len(digits) >= LEAST_DIGITS_IN_COMMON else ""


def is_same_phone(one: str, other: str) -> bool:
    """Whether two keys may be one telephone: "5550100" and "+15550100", "0171 234567" and "+49171234567".

    A number written without its country or area ends the one written with it, once a leading 0 is dropped.
    """
    shorter, longer = sorted((_without_prefix(one), _without_prefix(other)), key=len)
    return len(shorter) >= LEAST_DIGITS_IN_COMMON and longer.endswith(shorter)


def _without_prefix(key: str) -> str:
    return key.removeprefix("+") if key.startswith("+") else key.lstrip("0")


def is_alike(one: str, other: str) -> bool:
    """Whether two search keys may name the same buyer: same words in any order, one word more, or a slip of the pen."""
    words, others = set(one.split()), set(other.split())
    if not words or not others:
        return False
    if words == others or (len(words & others) >= 2 and (words <= others or others <= words)):
        return True
    matcher = SequenceMatcher(None, " ".join(sorted(words)), " ".join(sorted(others)))
    return matcher.real_quick_ratio() >= ALIKE_FROM and matcher.ratio() >= ALIKE_FROM


def order_number(year: int, serial: int) -> str:
    """The number of an order: season and serial, "2027-0042"."""
    return f"{year}-{serial:04d}"


def serial_of(number: str) -> int:
    """The serial in an order's number. Raises ValueError when it has none."""
    return int(number.partition("-")[2])


@dataclass(frozen=True, slots=True)
class DatedPrice:
    """A price in cents for a tier ("" for everyone) from a day on."""

    key: int
    tier: str
    valid_from: date
    cents: int


def pick_price(prices: Iterable[DatedPrice], *, tier: str, day: date) -> DatedPrice | None:
    """The price a buyer of `tier` pays on `day`: the tier's own before everyone's, of each the latest begun."""
    begun = [price for price in prices if price.valid_from <= day and price.tier in ("", tier)]
    return max(begun, key=lambda price: (price.tier != "", price.valid_from), default=None)


def deposit_due(*, cents_per_nuc: int, nucs: int, total_cents: int) -> int:
    """The deposit the terms ask for, in cents: so much a nuc, never above what the nucs cost before tax."""
    return min(cents_per_nuc * nucs, total_cents)


def refund_until(*, month: int, day: int, starts_on: date, ends_before: date) -> date:
    """The last day of a season on which its deposits are given back in full.

    A season begins in autumn, so a day late in the year belongs to the year it starts in.
    """
    in_spring = date(ends_before.year, month, day)
    return in_spring if in_spring < ends_before else date(starts_on.year, month, day)


# The order's own word, by what its lines say: the first that applies.
_LIVE = ("asked", "waiting", "promised", "part collected", "collected")


def order_state(nucs_by_state: Mapping[str, int]) -> str:
    """One word for an order from the nucs on its lines by state.

    Cancelled and lapsed lines count only when nothing else is left. What is missing most speaks: a line asked before
    one waiting, one waiting before one promised; and once something was collected, whether all of it was.
    """
    standing = [state for state in _LIVE if nucs_by_state.get(state)]
    if not standing:
        return "lapsed" if nucs_by_state.get("lapsed") else "cancelled"
    if "collected" in standing or "part collected" in standing:
        return "collected" if standing == ["collected"] else "part collected"
    return standing[0]


def standing_total(lines: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """Nucs and cents of (quantity, price) pairs."""
    return sum(quantity for quantity, _ in lines), sum(quantity * cents for quantity, cents in lines)
