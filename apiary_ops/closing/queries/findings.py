"""How an exception is worded, and where it is looked at."""

from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar

from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext as _

from apiary_ops.business.queries import business
from apiary_ops.closing.compute import Finding, differences
from apiary_ops.kernel.money import Money

Key = TypeVar("Key", bound=Hashable)
Place = tuple[str, str]  # a name and an address


def count_findings(
    left: Mapping[Key, int], right: Mapping[Key, int], place: Callable[[Key], Place]
) -> tuple[Finding, ...]:
    """A finding for each key whose counts differ; `place` gives its name and address."""
    return _findings(left, right, place, lambda value: f"{value:,}")


def money_findings(
    left: Mapping[Key, int], right: Mapping[Key, int], place: Callable[[Key], Place]
) -> tuple[Finding, ...]:
    """A finding for each key whose cents differ; `place` gives its name and address."""
    different = differences(left, right)
    currency = business().currency if different else ""
    return _findings(left, right, place, lambda cents: Money(cents, currency).plain)


def _findings(
    left: Mapping[Key, int],
    right: Mapping[Key, int],
    place: Callable[[Key], Place],
    shown: Callable[[int], str],
) -> tuple[Finding, ...]:
    found = []
    for key, one, other in differences(left, right):
        name, url = place(key)
        words = {"name": name, "left": shown(one), "right": shown(other)}
        found.append(Finding(_("%(name)s: %(left)s against %(right)s.") % words, url))
    return tuple(found)


def nuc_url(pk: int) -> str:
    """The page of a nuc."""
    return reverse("nucs:nuc", args=[pk])


def account_url(key: str) -> str:
    """The page of an account."""
    return reverse("books:account", args=[key])


def entry_url(pk: int) -> str:
    """The page of an entry in the books."""
    return reverse("books:entry", args=[pk])


def batch_place(key: int | str) -> Place:
    """A batch by its number and its page."""
    return _("Batch %(batch)s") % {"batch": key}, reverse("nucs:batch", args=[int(key)])


def lot_place(code: str) -> Place:
    """A lot by its code and its page."""
    return _("Lot %(lot)s") % {"lot": code}, reverse("queens:lot", args=[code])


def order_place(number: str) -> Place:
    """An order by its number and its page."""
    return _("Order %(order)s") % {"order": number}, reverse("orders:order", args=[number])


def of_subject(account: str, kind: str, place: Callable[[str], Place]) -> Callable[[str], Place]:
    """Places of an account's subjects: those of `kind` by `place`, any other on the account's own page."""

    def found(subject: str) -> Place:
        subject_kind, _colon, key = subject.partition(":")
        if subject_kind == kind:
            try:
                return place(key)
            except (KeyError, ValueError, NoReverseMatch):
                pass  # a subject written by hand that names nothing
        return _("Of “%(subject)s” in the books") % {"subject": subject or "–"}, account_url(account)

    return found
