"""What a phone may record, and what it packs before it leaves: registered by the apps that know, in `ready()`.

fieldbook.registry.register_kind(Kind("look", _("look"), versions={1: read_v1, 2: read}, apply=services.land_look, ...))
fieldbook.registry.register_packer(offline.pack)
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from apiary_ops.business.models import Season
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .compute import Payload

VERSION = 2  # of payloads and packs; those before are still read


class Question(RuleBroken):
    """Someone else already said otherwise of the same thing: a person decides between the two."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """Where a record comes from, for the app that applies it.

    `parent` is the Ref of what the record hangs on ("visit:12"), empty for one that hangs on nothing. `insist` is
    set when a person decided that this record's values stand over those that were there.
    """

    key: UUID
    device: UUID
    observed_by: User
    observed_at: datetime
    received_on: date
    parent: str = ""
    insist: bool = False


@dataclass(frozen=True, slots=True)
class Landing:
    """What a record made or agreed with, as a Ref, and words worth telling the one who sent it."""

    result: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """One fact of a record in words, and the fact that stands now where another one does."""

    label: str
    said: str
    standing: str = ""

    @property
    def differs(self) -> bool:
        return self.standing != "" and self.standing != self.said


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of record: how each version of its payload is read, how it is applied, and how it is told in words.

    `apply` raises RuleBroken where a rule refuses and Question where a person must decide. `about` names facts shortly
    ("A1"); `tell` lists them beside what stands, given the Ref of what they hang on.
    """

    name: str
    label: Any
    versions: Mapping[int, Callable[[Payload], Any]]
    apply: Callable[[Any, Arrival], Landing]
    about: Callable[[Any], str]
    tell: Callable[[Any, str], list[Told]]
    needs_parent: bool = True


Packer = Callable[[User, str, date, Season], dict[str, Any] | None]
YardLister = Callable[[date, Season], list[dict[str, Any]]]

Addresser = Callable[[str], str]

_kinds: dict[str, Kind] = {}
_packers: list[Packer] = []
_listers: list[YardLister] = []
_addressers: list[Addresser] = []


def register_kind(kind: Kind) -> None:
    """Let phones record facts of a kind."""
    _kinds[kind.name] = kind


def kind(name: str) -> Kind | None:
    """The kind of that name, or nothing when no app registered it."""
    return _kinds.get(name)


def register_packer(packer: Packer) -> None:
    """Add what a pack of one yard holds: the packer returns named parts, or None where there is no such yard."""
    if packer not in _packers:
        _packers.append(packer)


def packed(user: User, yard_code: str, today: date, season: Season) -> dict[str, Any] | None:
    """The parts of every packer together; None where none of them knows the yard."""
    parts = [packer(user, yard_code, today, season) for packer in _packers]
    known = [part for part in parts if part is not None]
    return {name: value for part in known for name, value in part.items()} if known else None


def register_yards(lister: YardLister) -> None:
    """The list of yards to choose from; one app knows them."""
    _listers[:] = [lister]


def yards(today: date, season: Season) -> list[dict[str, Any]]:
    """The yards a phone may choose from."""
    return _listers[0](today, season) if _listers else []


def register_addresses(addresser: Addresser) -> None:
    """Say where the page of a Ref is; empty for one that has none."""
    if addresser not in _addressers:
        _addressers.append(addresser)


def address(ref: str) -> str:
    """The page of what a record made, or empty."""
    return next((url for url in (addresser(ref) for addresser in _addressers) if url), "") if ref else ""
