from django.db import transaction
from django.db.models import Sum
from django.utils.translation import gettext as _

from apiary_ops.books import queries
from apiary_ops.books.compute import EntryDraft, Posting
from apiary_ops.books.models import Account, Entry, Line, Period
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .posting import post_entries

RETAINED_EARNINGS = "retained-earnings"


class YearNotOpened(RuleBroken):
    pass


class NothingToClose(RuleBroken):
    pass


@transaction.atomic
def close_fiscal_year(*, year: int, actor: User | None) -> list[Entry]:
    """Bring income, expense and drawings to zero on the last day of a fiscal year, into retained earnings.

    Up to three entries: income, expense, drawings; each season of the year keeps its own part. Assets, liabilities
    and deposits held go on untouched. Run it before the last period is locked; it may run again for what was posted
    into the year since. Raises YearNotOpened, NothingToClose or PeriodLocked.
    """
    last = Period.objects.filter(fiscal_year=year).order_by("-starts_on").first()
    if last is None:
        raise YearNotOpened(_("The fiscal year %(year)s is not opened. Open it under Periods first.") % {"year": year})
    source = f"{queries.CLOSING_SOURCE}{year}"
    groups = [
        (Account.Kind.INCOME, "closing income", _("Income of %(year)s to retained earnings")),
        (Account.Kind.EXPENSE, "closing expense", _("Expense of %(year)s to retained earnings")),
        (Account.Kind.EQUITY, "closing drawings", _("Drawings of %(year)s to retained earnings")),
    ]
    drafts = [
        EntryDraft(source, _next_purpose(source, purpose), last.last_day, 0, memo % {"year": year}, postings)
        for kind, purpose, memo in groups
        if (postings := _closing_postings(year, kind))
    ]
    if not drafts:
        raise NothingToClose(_("The fiscal year %(year)s has no income or expense to close.") % {"year": year})
    return post_entries(drafts, actor=actor)


def _next_purpose(source: str, purpose: str) -> str:
    """The purpose itself the first time, "closing income 2" when the year is closed again."""
    before = Entry.objects.filter(source=source, purpose__startswith=purpose).count()
    return f"{purpose} {before + 1}" if before else purpose


def _closing_postings(year: int, kind: str) -> list[Posting]:
    """The mirror image of each account of `kind` that starts at zero every year, and its counterpart, by season."""
    accounts = {account.pk: account.key for account in Account.objects.filter(kind=kind) if account.is_closed_yearly}
    sums = (
        Line.objects.filter(entry__period__fiscal_year=year, account_id__in=accounts)
        .values_list("account_id", "season_id")
        .annotate(cents=Sum("cents"))
        .exclude(cents=0)
        .order_by("account__number", "season_id")
    )
    postings: list[Posting] = []
    kept: dict[int, int] = {}
    for account_id, season_id, cents in sums:
        postings.append(Posting(accounts[account_id], -cents, season_id=season_id))
        kept[season_id] = kept.get(season_id, 0) + cents
    return postings + [Posting(RETAINED_EARNINGS, cents, season_id=season_id) for season_id, cents in kept.items()]
