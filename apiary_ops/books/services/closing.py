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
    and deposits held go on untouched. Run it before the last period is locked; what is posted into the year
    afterwards needs a correction of its own. Raises YearNotOpened, NothingToClose, PeriodLocked or AlreadyPosted.
    """
    last = Period.objects.filter(fiscal_year=year).order_by("-starts_on").first()
    if last is None:
        raise YearNotOpened(_("The fiscal year %(year)s is not opened. Open it under Periods first.") % {"year": year})
    groups = {
        "closing income": (Account.Kind.INCOME, _("Income of %(year)s to retained earnings")),
        "closing expense": (Account.Kind.EXPENSE, _("Expense of %(year)s to retained earnings")),
        "closing drawings": (Account.Kind.EQUITY, _("Drawings of %(year)s to retained earnings")),
    }
    drafts = [
        EntryDraft(f"{queries.CLOSING_SOURCE}{year}", purpose, last.last_day, 0, memo % {"year": year}, postings)
        for purpose, (kind, memo) in groups.items()
        if (postings := _closing_postings(year, kind))
    ]
    if not drafts:
        raise NothingToClose(_("The fiscal year %(year)s has no income or expense to close.") % {"year": year})
    return post_entries(drafts, actor=actor)


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
