from collections.abc import Iterable, Sequence
from datetime import date
from uuid import UUID, uuid4

from django.db import IntegrityError, connection, transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.books.compute import EntryDraft, Posting, without_zeros
from apiary_ops.books.models import Account, Entry, Line, Period, Seal
from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from . import words


class Unbalanced(RuleBroken):
    pass


class NothingToPost(RuleBroken):
    pass


class PeriodLocked(RuleBroken):
    pass


class NoPeriod(RuleBroken):
    pass


class AlreadyPosted(RuleBroken):
    pass


class UnknownAccount(RuleBroken):
    pass


def post_entry(
    *,
    source: str,
    purpose: str,
    posted_on: date,
    season_id: int,
    memo: str,
    postings: Sequence[Posting],
    actor: User | None,
) -> Entry:
    """Post one balanced entry. Postings of 0 are dropped.

    `source` names what caused it ("order:2027-0042") and posts each `purpose` once. Raises Unbalanced, NothingToPost,
    NoPeriod, PeriodLocked, AlreadyPosted or UnknownAccount, and nothing is written then.
    """
    return post_entries([EntryDraft(source, purpose, posted_on, season_id, memo, postings)], actor=actor)[0]


@transaction.atomic
def post_entries(drafts: Sequence[EntryDraft], *, actor: User | None) -> list[Entry]:
    """Post many entries, all or none, in a handful of statements; refuses what `post_entry` refuses."""
    return _write(drafts, actor)


def _write(drafts: Sequence[EntryDraft], actor: User | None, reverses: Entry | None = None) -> list[Entry]:
    if not drafts:
        return []
    kept = [(draft, _checked(draft)) for draft in drafts]
    accounts = _accounts(posting.account for _draft, postings in kept for posting in postings)
    periods = _open_periods({draft.posted_on for draft in drafts})
    entries = [
        Entry(
            posted_on=draft.posted_on,
            period=periods[draft.posted_on],
            source=draft.source,
            purpose=draft.purpose,
            memo=draft.memo,
            reverses=reverses,
            recorded_by=actor,
            sealed_id=uuid4(),
        )
        for draft in drafts
    ]
    _insert(entries)
    Line.objects.bulk_create(
        _line(entry, posting, accounts[posting.account], draft.season_id)
        for entry, (draft, postings) in zip(entries, kept, strict=True)
        for posting in postings
    )
    # As each seal is written, the database counts the lines of its entry and their sum.
    Seal.objects.bulk_create(Seal(id=entry.sealed_id) for entry in entries)
    return entries


def _checked(draft: EntryDraft) -> list[Posting]:
    Ref.parse(draft.source)
    postings = without_zeros(draft.postings)
    if not postings:
        raise NothingToPost(_("There is nothing to post: every amount is zero. Enter a debit and a credit."))
    amounts = [posting.cents for posting in postings]
    if sum(amounts):
        raise Unbalanced(words.unbalanced(amounts))
    return postings


def _accounts(keys: Iterable[str]) -> dict[str, Account]:
    wanted = set(keys)
    found = {account.key: account for account in Account.objects.filter(key__in=wanted)}
    if missing := sorted(wanted - found.keys()):
        raise UnknownAccount(_("The chart has no account “%(key)s”. Choose one that it has.") % {"key": missing[0]})
    return found


def _open_periods(days: set[date]) -> dict[date, Period]:
    periods = _share_locked_periods(min(days), max(days))
    found = {}
    for day in sorted(days):
        period = next((period for period in periods if period.starts_on <= day < period.ends_before), None)
        if period is None:
            raise NoPeriod(words.no_period(day))
        if period.is_locked:
            message = _("%(day)s lies in a locked period. Choose a day in an open one.")
            raise PeriodLocked(message % {"day": spoken_day(day)})
        found[day] = period
    return found


def _share_locked_periods(first: date, last: date) -> list[Period]:
    """The periods of these days. Posters share them; whoever locks one waits for the posters, and they for him."""
    query = "SELECT * FROM books_period WHERE starts_on <= %s AND ends_before > %s ORDER BY id"
    if connection.features.has_select_for_update:
        query += " FOR SHARE"
    days = [connection.ops.adapt_datefield_value(day) for day in (last, first)]
    return list(Period.objects.raw(query, days))


def _insert(entries: list[Entry]) -> None:
    try:
        with transaction.atomic():
            Entry.objects.bulk_create(entries)
    except IntegrityError:
        for entry in entries:
            if Entry.objects.filter(source=entry.source, purpose=entry.purpose).exists():
                message = _("%(source)s has already posted its %(purpose)s; nothing was posted twice.")
                raise AlreadyPosted(message % {"source": entry.source, "purpose": entry.purpose}) from None
        raise


def _line(entry: Entry, posting: Posting, account: Account, season_id: int) -> Line:
    return Line(
        entry=entry,
        account=account,
        season_id=posting.season_id or season_id,
        cents=posting.cents,
        subject=posting.subject,
        memo=posting.memo,
        foreign_cents=posting.foreign_cents,
        foreign_currency=posting.foreign_currency,
        rate=posting.rate,
    )


@transaction.atomic
def post_by_hand(
    *,
    posted_on: date,
    season_id: int,
    memo: str,
    postings: Sequence[Posting],
    actor: User,
    once_key: UUID | None = None,
) -> Entry:
    """An entry the bookkeeper writes; refuses what `post_entry` refuses, and AlreadyDone for a form sent twice."""
    claimed = once.claim(once_key, "entry by hand")
    entry = post_entry(
        source=str(Ref("manual", (once_key or uuid4()).hex)),
        purpose="manual",
        posted_on=posted_on,
        season_id=season_id,
        memo=memo,
        postings=postings,
        actor=actor,
    )
    once.settle(claimed, reverse("books:entry", args=[entry.pk]))
    return entry


class AlreadyReversed(RuleBroken):
    pass


class IsAReversal(RuleBroken):
    pass


@transaction.atomic
def reverse_entry(
    *, entry_id: int, reversed_on: date, purpose: str = "", memo: str, actor: User | None, once_key: UUID | None = None
) -> Entry:
    """Post the mirror image of an entry, on an open day of its own; the entry itself stays as it was.

    `purpose` is "reversal of <its purpose>" unless given. Raises AlreadyReversed, IsAReversal, NoPeriod, PeriodLocked.
    """
    claimed = once.claim(once_key, "reversal")
    entry = Entry.objects.select_for_update(no_key=True).get(pk=entry_id)
    if entry.reverses_id:
        raise IsAReversal(_("This entry is itself a reversal. Post the right entry anew instead."))
    if Entry.objects.filter(reverses=entry).exists():
        raise AlreadyReversed(_("This entry is already reversed."))
    mirrored = EntryDraft(
        source=entry.source,
        purpose=purpose or f"reversal of {entry.purpose}"[:40],
        posted_on=reversed_on,
        season_id=0,  # each line keeps its own season
        memo=memo,
        postings=[_mirrored(line) for line in entry.lines.select_related("account").order_by("pk")],
    )
    reversal = _write([mirrored], actor, reverses=entry)[0]
    once.settle(claimed, reverse("books:entry", args=[reversal.pk]))
    return reversal


class CameFromElsewhere(RuleBroken):
    pass


@transaction.atomic
def reverse_by_hand(*, entry_id: int, reversed_on: date, reason: str, actor: User, once_key: UUID | None) -> Entry:
    """The bookkeeper takes an entry back that was written by hand or closed a year.

    Raises CameFromElsewhere for any other, whose bill or order would go on as if nothing had happened; else what
    `reverse_entry` refuses.
    """
    entry = Entry.objects.get(pk=entry_id)
    if not entry.belongs_to_the_books:
        message = _("This entry came from %(source)s. Put it right there, and the books follow.")
        raise CameFromElsewhere(message % {"source": entry.source})
    memo = _("Reversed: %(reason)s") % {"reason": reason}
    return reverse_entry(entry_id=entry_id, reversed_on=reversed_on, memo=memo, actor=actor, once_key=once_key)


def _mirrored(line: Line) -> Posting:
    return Posting(
        account=line.account.key,
        cents=-line.cents,
        subject=line.subject,
        memo=line.memo,
        season_id=line.season_id,
        foreign_cents=None if line.foreign_cents is None else -line.foreign_cents,
        foreign_currency=line.foreign_currency,
        rate=line.rate,
    )
