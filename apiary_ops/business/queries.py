from datetime import date
from decimal import Decimal

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken

from .models import Business, Season, TaxCategory, TaxRate, Terms


class NothingSetUp(RuleBroken):
    pass


def business() -> Business:
    """The one business. Raises NothingSetUp before `manage.py demo` or the first set-up."""
    try:
        return Business.objects.get(pk=1)
    except ObjectDoesNotExist:
        raise NothingSetUp(_("Nothing is set up yet. Run `manage.py set_up` or `manage.py demo`.")) from None


def seasons() -> QuerySet[Season]:
    """Every season, latest first."""
    return Season.objects.order_by("-year")


def current_season(chosen_year: int | None, today: date) -> Season | None:
    """The season chosen by the user; else the latest open one that has begun; else the latest."""
    rows = list(seasons())
    by_year = {season.year: season for season in rows}
    if chosen_year in by_year:
        return by_year[chosen_year]
    begun = (season for season in rows if season.is_open and season.starts_on <= today)
    return next(begun, rows[0] if rows else None)


def terms_on(day: date) -> Terms:
    """The deposit terms in force on a day. Raises NothingSetUp when none were stated by then."""
    terms = Terms.objects.filter(valid_from__lte=day).order_by("-valid_from").first()
    if terms is None:
        raise NothingSetUp(
            _("No deposit terms are stated for %(day)s. State them under Settings.") % {"day": spoken_day(day)}
        )
    return terms


def all_terms() -> QuerySet[Terms]:
    """Every statement of deposit terms, latest first."""
    return Terms.objects.order_by("-valid_from")


def tax_categories() -> QuerySet[TaxCategory]:
    """Every tax category, by name."""
    return TaxCategory.objects.order_by("name", "id")


def tax_rates() -> QuerySet[TaxRate]:
    """Every dated rate with its category."""
    return TaxRate.objects.select_related("category").order_by("category__name", "-valid_from", "id")


def tax_percent(category: TaxCategory, day: date) -> Decimal:
    """The rate of a category on a day, in percent. Raises NothingSetUp when none is dated that early."""
    rate = TaxRate.objects.filter(category=category, valid_from__lte=day).order_by("-valid_from").first()
    if rate is None:
        raise NothingSetUp(
            _("The tax category %(name)s has no rate on %(day)s. Add one under Settings.")
            % {"name": category.name, "day": spoken_day(day)}
        )
    return rate.percent
