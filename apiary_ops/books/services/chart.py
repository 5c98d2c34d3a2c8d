import json

from django.conf import settings
from django.db import transaction

from apiary_ops.books.models import Account

CHART = settings.BASE_DIR / "fixtures" / "reference" / "chart_of_accounts.json"


@transaction.atomic
def install_chart() -> int:
    """Add the accounts of the trade that are not there yet; returns how many were added.

    May run again at any time: accounts that exist keep the names they were given.
    """
    rows = json.loads(CHART.read_text(encoding="utf-8"))
    known = set(Account.objects.values_list("key", flat=True))
    missing = [Account(**row) for row in rows if row["key"] not in known]
    Account.objects.bulk_create(missing)
    return len(missing)
