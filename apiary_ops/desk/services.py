from datetime import date
from typing import Any

from django.db import transaction

from apiary_ops.books import services as books
from apiary_ops.business import services as business_services
from apiary_ops.business.models import Season
from apiary_ops.nucs import services as nucs
from apiary_ops.people import services as people
from apiary_ops.people.models import Role, User
from apiary_ops.yards import services as yards


@transaction.atomic
def set_up(
    *,
    name: str,
    address: str,
    currency: str,
    time_zone: str,
    owner_username: str,
    owner_name: str,
    owner_password: str,
    season_year: int,
    **more: Any,
) -> tuple[User, Season]:
    """The first rows of a new desk, all or nothing; `more` are further fields of the business.

    The season runs from 1 September to 1 September, and so does its fiscal year of twelve periods.
    """
    business_services.open_business(name=name, address=address, currency=currency, time_zone=time_zone, **more)
    owner = people.add_user(
        username=owner_username, full_name=owner_name, role=Role.OWNER, password=owner_password, actor=None
    )
    starts_on = date(season_year - 1, 9, 1)
    season = business_services.open_season(
        year=season_year, starts_on=starts_on, ends_before=date(season_year, 9, 1), actor=owner
    )
    books.install_chart()
    books.open_fiscal_year(year=season_year, starts_on=starts_on, actor=owner)
    yards.install_reference_rules()
    nucs.install_reference_kinds()
    return owner, season
