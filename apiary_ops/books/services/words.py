"""What refusals of the books say."""

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext as _

from apiary_ops.books.compute import Slip, likely_slips, sides
from apiary_ops.business.models import Business
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.money import Money


def no_period(day: date) -> str:
    """What is said when no fiscal year holds the day."""
    return _("No fiscal year holds %(day)s. Open that year under Periods first.") % {"day": spoken_day(day)}


def unbalanced(amounts: Sequence[int]) -> str:
    """Both totals, the difference, and where it may come from."""
    currency = Business.objects.values_list("currency", flat=True).first() or ""
    debits, credits = sides(amounts)
    first = _("Debits come to %(debits)s and credits to %(credits)s; they differ by %(difference)s.") % {
        "debits": _amount(debits, currency),
        "credits": _amount(credits, currency),
        "difference": _amount(abs(debits - credits), currency),
    }
    return " ".join([first, *(_slip(slip, currency) for slip in likely_slips(amounts)[:1]), _("Correct the lines.")])


def _slip(slip: Slip, currency: str) -> str:
    amount = _amount(slip.cents, currency)
    return {
        "wrong side": _("Perhaps %(amount)s stands on the wrong side.") % {"amount": amount},
        "left out": _("Perhaps the counterpart of %(amount)s is missing.") % {"amount": amount},
        "transposed": _("Perhaps two digits of an amount changed places."),
    }[slip.kind]


def _amount(cents: int, currency: str) -> str:
    return Money(cents, currency).plain if currency else str(cents)
