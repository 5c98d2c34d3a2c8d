from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .models import Business, Season, TaxCategory, TaxRate, Terms


class CurrencyIsFixed(RuleBroken):
    pass


class SeasonExists(RuleBroken):
    pass


class SeasonsOverlap(RuleBroken):
    pass


class TermsAlreadyStated(RuleBroken):
    pass


class CategoryAlreadyThere(RuleBroken):
    pass


@transaction.atomic
def open_business(*, name: str, address: str, time_zone: str, currency: str, **more: Any) -> Business:
    """The first row of a new installation: who we are. The currency is chosen here, once."""
    business = Business(id=1, name=name, address=address, time_zone=time_zone, currency=currency, **more)
    business.full_clean()
    business.save(force_insert=True)
    return business


@transaction.atomic
def edit_business(*, version: int, changes: dict[str, Any], actor: User) -> Business:
    """Change the settings; the currency stays, since every cent in the books is in it."""
    business = Business.objects.select_for_update(no_key=True).get(pk=1)
    if changes.get("currency", business.currency) != business.currency:
        raise CurrencyIsFixed(_("The currency was chosen at set-up and cannot change: the books are kept in it."))
    sign(business, actor)
    save_changes(business, version, changes)
    return business


@transaction.atomic
def open_season(*, year: int, starts_on: date, ends_before: date, actor: User | None) -> Season:
    """A new season. Two may be open at once, but their days do not overlap."""
    if Season.objects.filter(year=year).exists():
        raise SeasonExists(_("The season %(year)s is already there.") % {"year": year})
    _refuse_overlap(starts_on, ends_before, except_pk=None)
    season = Season(year=year, starts_on=starts_on, ends_before=ends_before)
    sign(season, actor)
    season.full_clean()
    season.save()
    return season


@transaction.atomic
def edit_season(*, season_id: int, version: int, changes: dict[str, Any], actor: User) -> Season:
    """Move a season's dates."""
    season = Season.objects.select_for_update(no_key=True).get(pk=season_id)
    _refuse_overlap(changes["starts_on"], changes["ends_before"], except_pk=season.pk)
    sign(season, actor)
    save_changes(season, version, changes)
    return season


def _refuse_overlap(starts_on: date, ends_before: date, except_pk: int | None) -> None:
    others = Season.objects.filter(starts_on__lt=ends_before, ends_before__gt=starts_on)
    if except_pk is not None:
        others = others.exclude(pk=except_pk)
    if other := others.first():
        raise SeasonsOverlap(
            _("These days overlap the season %(other)s (%(starts_on)s to %(ends_on)s).")
            % {
                "other": other,
                "starts_on": spoken_day(other.starts_on),
                "ends_on": spoken_day(other.ends_before - timedelta(days=1)),
            }
        )


@transaction.atomic
def state_terms(
    *, valid_from: date, deposit_cents_per_nuc: int, due_days: int, refund_until: tuple[int, int], text: str
) -> Terms:
    """State deposit terms from a day on; `refund_until` is (month, day). Terms are never changed, only followed."""
    terms = Terms(
        valid_from=valid_from,
        deposit_cents_per_nuc=deposit_cents_per_nuc,
        due_days=due_days,
        refund_until_month=refund_until[0],
        refund_until_day=refund_until[1],
        text=text,
    )
    if Terms.objects.filter(valid_from=valid_from).exists():
        raise TermsAlreadyStated(
            _("Terms from %(day)s are already stated. Choose another day.") % {"day": spoken_day(valid_from)}
        )
    terms.full_clean()
    terms.save()
    return terms


@transaction.atomic
def add_tax_category(
    *, code: str, name: str, en16931_code: str, percent: Decimal, valid_from: date, note: str = ""
) -> TaxCategory:
    """A tax category with its first rate. Raises CategoryAlreadyThere."""
    if TaxCategory.objects.filter(code=code).exists():
        raise CategoryAlreadyThere(
            f"A category like “{name}” is already there. Add a rate to it, or choose another name."
        )
    category = TaxCategory(code=code, name=name, en16931_code=en16931_code, note=note)
    category.full_clean()
    category.save()
    add_tax_rate(category_id=category.pk, percent=percent, valid_from=valid_from)
    return category


class RateAlreadyThere(RuleBroken):
    pass


@transaction.atomic
def add_tax_rate(*, category_id: int, percent: Decimal, valid_from: date) -> TaxRate:
    """A rate of a category from a day on."""
    try:
        with transaction.atomic():
            return TaxRate.objects.create(category_id=category_id, percent=percent, valid_from=valid_from)
    except IntegrityError:
        raise RateAlreadyThere(
            _("A rate from %(day)s is already there, or the percent is out of range.") % {"day": spoken_day(valid_from)}
        ) from None
