"""Coordinates as people read them off a map or a receiver, in degrees of WGS 84."""

import re
from decimal import Decimal
from typing import Literal

from apiary_ops.kernel.rounding import half_up

Axis = Literal["latitude", "longitude"]

PLACES = 5  # of a degree: about a metre
LETTERS = {"latitude": "NS", "longitude": "EW"}
MOST_DEGREES = {"latitude": 90, "longitude": 180}
FORM = re.compile(
    r"(?P<before>[NSEW])?\s*(?P<sign>[+-])?\s*(?P<degrees>\d{1,3}(?:\.\d+)?)"
    r"(?:\s+(?P<minutes>\d{1,2}(?:\.\d+)?))?(?:\s+(?P<seconds>\d{1,2}(?:\.\d+)?))?\s*(?P<after>[NSEW])?",
    re.ASCII,
)
PLAINLY = str.maketrans({",": ".", "−": "-", **dict.fromkeys("°º'′’\"″”", " ")})


class NotCoordinate(ValueError):
    """The text names no place on this axis, or could mean two."""


def read_coordinate(text: str, axis: Axis) -> Decimal:
    """Degrees, south and west below zero, from "49.24167", "-49,24167", "49 14.5 N", "N 49° 14′ 30″".

    Raises NotCoordinate for anything else, for a letter of the other axis, and beyond the pole or the date line.
    """
    match = FORM.fullmatch(text.strip().upper().translate(PLAINLY).strip())
    if match is None:
        raise NotCoordinate(text)
    letters = (match["before"] or "") + (match["after"] or "")
    if len(letters) + bool(match["sign"]) > 1 or letters not in ("", *LETTERS[axis]):
        raise NotCoordinate(text)
    parts = [match["degrees"], match["minutes"] or "0", match["seconds"] or "0"]
    given = [part for part in (match["degrees"], match["minutes"], match["seconds"]) if part]
    if any("." in part for part in given[:-1]) or any(Decimal(part) >= 60 for part in parts[1:]):
        raise NotCoordinate(text)
    degrees = Decimal(parts[0]) + Decimal(parts[1]) / 60 + Decimal(parts[2]) / 3600
    if degrees > MOST_DEGREES[axis]:
        raise NotCoordinate(text)
    return half_up(-degrees if letters in ("S", "W") or match["sign"] == "-" else degrees, PLACES)


def plain_degrees(degrees: Decimal) -> str:
    """Degrees without needless zeros: "49.5"."""
    return f"{(degrees + 0).normalize():f}"


def geo_uri(latitude: Decimal, longitude: Decimal) -> str:
    """The place as a link that a telephone opens in its own map (RFC 5870): "geo:49.24167,-123.1"."""
    return f"geo:{plain_degrees(latitude)},{plain_degrees(longitude)}"
