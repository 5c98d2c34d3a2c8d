from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business, TaxRate, Terms
from tests.factories.business import BusinessFactory, TaxCategoryFactory, TermsFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    BusinessFactory()
    user = UserFactory()
    client.force_login(user)
    return user


def settings_fields(**changes):
    business = Business.objects.get(pk=1)
    names = (
        "name",
        "address",
        "phone",
        "email",
        "registration",
        "time_zone",
        "paper",
        "temperature_unit",
        "weight_unit",
        "distance_unit",
        "payment_instructions",
        "cautions",
        "version",
    )
    return {name: getattr(business, name) for name in names} | changes


def test_the_page_shows_who_we_are_and_what_we_sell_under(client, owner):
    TermsFactory()

    page = client.get(reverse("business:settings")).text

    assert "Fernhollow Bees" in page
    assert "75.00" in page
    assert "confirm each category with your accountant" in page


def test_a_change_is_saved_and_told_in_the_history(client, owner):
    client.post(reverse("business:settings-edit"), settings_fields(phone="555 0199"))

    page = client.get(reverse("business:settings")).text

    assert "555 0199" in page
    assert "telephone" in page


def test_the_inspector_to_call_is_kept(client, owner):
    before = client.get(reverse("business:settings")).text
    changes = {"inspector": "R. Vale", "inspector_phone": "+1 555 0144", "has_hive_beetle": "on"}

    client.post(reverse("business:settings-edit"), settings_fields(**changes))

    page = client.get(reverse("business:settings")).text
    assert "not known here" in before
    assert "R. Vale" in page
    assert '<a href="tel:+15550144">+1 555 0144</a>' in page
    assert "is about" in page
    assert Business.objects.get(pk=1).has_hive_beetle is True


def test_a_stale_form_shows_both_values_and_saves_on_the_second_try(client, owner):
    stale = settings_fields(phone="555 0111")
    client.post(reverse("business:settings-edit"), settings_fields(phone="555 0222"))

    refused = client.post(reverse("business:settings-edit"), stale)

    assert refused.status_code == 422
    assert "Now stands as: 555 0222" in refused.text
    assert 'value="555 0111"' in refused.text
    again = stale | {"version": Business.objects.get(pk=1).version}
    assert client.post(reverse("business:settings-edit"), again).status_code == 302
    assert Business.objects.get(pk=1).phone == "555 0111"


def test_an_unknown_time_zone_is_refused_beside_the_field(client, owner):
    response = client.post(reverse("business:settings-edit"), settings_fields(time_zone="Moon/Base"))

    assert response.status_code == 422
    assert "Moon/Base is not a time zone" in response.text


def test_new_terms_are_stated_and_the_old_ones_stay(client, owner):
    TermsFactory()
    fields = {
        "valid_from": "2027-02-01",
        "deposit_per_nuc": "90.00",
        "due_days": 10,
        "refund_until": "2027-03-01",
        "text": "90 a nuc.",
    }

    assert client.post(reverse("business:terms-add"), fields).status_code == 302

    assert Terms.objects.count() == 2
    assert Terms.objects.get(valid_from=date(2027, 2, 1)).deposit_cents_per_nuc == 9000


def test_terms_of_a_day_already_stated_are_refused(client, owner):
    TermsFactory()
    fields = {
        "valid_from": "2026-09-01",
        "deposit_per_nuc": "90.00",
        "due_days": 10,
        "refund_until": "2027-03-01",
        "text": "90 a nuc.",
    }

    response = client.post(reverse("business:terms-add"), fields)

    assert response.status_code == 422
    assert "already stated" in response.text


def test_a_tax_rate_holds_from_its_day(client, owner):
    category = TaxCategoryFactory()
    fields = {"category": category.pk, "percent": "5", "valid_from": "2027-01-01"}

    assert client.post(reverse("business:tax-rate-add"), fields).status_code == 302
    assert TaxRate.objects.get().percent == 5


def category_fields(**changes):
    return {
        "name": "Live bees", "en16931_code": "Z", "percent": "0", "valid_from": "2027-01-01", "note": "Zero rated.",
    } | changes  # fmt: skip


def test_a_new_desk_writes_down_how_bees_are_taxed(client, owner):
    assert reverse("business:tax-category-add") in client.get(reverse("business:settings")).text

    response = client.post(reverse("business:tax-category-add"), category_fields())

    assert response.status_code == 302
    rate = TaxRate.objects.select_related("category").get()
    assert (rate.category.name, rate.category.code, rate.category.note) == ("Live bees", "live-bees", "Zero rated.")
    assert (rate.percent, rate.valid_from) == (0, date(2027, 1, 1))


def test_a_zero_rated_category_has_no_percent(client, owner):
    response = client.post(reverse("business:tax-category-add"), category_fields(percent="5"))

    assert response.status_code == 422
    assert response.context["form"].errors["percent"] == [
        "Only what is taxed at the standard rate has a percent. Write 0."
    ]


def test_a_tax_category_is_written_down_once(client, owner):
    client.post(reverse("business:tax-category-add"), category_fields())

    response = client.post(reverse("business:tax-category-add"), category_fields())

    assert response.context["form"].errors["name"] == [
        "A category like “Live bees” is already there. Add a rate to it, or choose another name."
    ]
