"""Split days, batches and their checks."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from apiary_ops.nucs import services
from apiary_ops.nucs.forms import KIND_FIELDS
from apiary_ops.nucs.models import Batch, Check, Donation, SplitDay
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import NucKindFactory, SplitDayFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def season(settings):
    settings.PRETENDED_TODAY = date(2027, 5, 6)
    BusinessFactory()
    return SeasonFactory()


# --- Split days.


def test_split_days_are_listed_with_what_was_made(client, crew):
    made_batch(2, queened=False)
    SplitDayFactory(on=date(2027, 5, 20))

    response = client.get(reverse("nucs:split-day-list"))

    rows = [row[2:] for row in list(response.context["table"].rows_as_text())[1:]]
    assert rows == [["nucs made", "1", "2"], ["planned", "0", "0"]]


def test_no_split_days_say_what_to_do_first(client, crew):
    assert "No split days are planned this season." in client.get(reverse("nucs:split-day-list")).text


def test_a_long_list_of_split_days_takes_a_bounded_number_of_queries(client, crew, django_assert_max_num_queries):
    SplitDayFactory.create_batch(20)

    with django_assert_max_num_queries(12):
        client.get(reverse("nucs:split-day-list"))


def test_a_split_day_is_planned_and_a_second_one_refused_beside_the_day(client, crew):
    fields = {"yard": YardFactory().pk, "on": "2027-05-20"}

    first = client.post(reverse("nucs:split-day-plan"), fields)
    second = client.post(reverse("nucs:split-day-plan"), fields)

    assert first.url == reverse("nucs:split-day", args=[SplitDay.objects.get().pk])
    assert second.status_code == 422
    assert second.context["form"].errors["on"] == ["This yard already has a split day on that day. Open that one."]


def test_a_split_day_shows_frames_given_and_left(client, crew):
    day = SplitDayFactory()
    colony = ColonyFactory(tag="C7", yard=day.yard)
    gave = services.DonationDraft(colony.pk, Decimal("3.5"), Decimal(2))
    made_batch(1, split_day=day, queened=False, donations=[gave])

    response = client.get(reverse("nucs:split-day", args=[day.pk]))

    assert (response.context["left"].bees, response.context["left"].brood) == (1, 0)
    for words in ("C7", "3.5", "5-frame spring nuc"):
        assert words in response.text


def test_a_split_day_in_a_held_yard_offers_no_batch(client, crew):
    day = SplitDayFactory()
    HoldFactory(yard=day.yard, reason="brood disease suspected")

    text = client.get(reverse("nucs:split-day", args=[day.pk])).text

    assert "This yard is on hold: brood disease suspected." in text
    assert reverse("nucs:batch-make", args=[day.pk]) not in text


# --- Making a batch.


def batch_fields(client, day, kind, **values):
    form = client.get(reverse("nucs:batch-make", args=[day.pk])).context["form"]
    fields = {
        "once_key": form["once_key"].value(),
        "kind": kind.pk,
        "size": "2",
        "made_on": "2027-05-04",
        "stands_at": day.yard_id,
        "lot": "",
        "queen_in_on": "",
    }
    return {**fields, **values}


def test_donors_stand_in_walking_order_as_last_seen(client, crew):
    day = SplitDayFactory()
    visit = VisitFactory(yard=day.yard)
    second = ColonyFactory(tag="C2", yard=day.yard, position=2)
    first = ColonyFactory(tag="C1", yard=day.yard, position=1)
    LookFactory(visit=visit, colony=first, below_halves=12, sealed_halves=5)
    ColonyFactory(tag="C3", yard=day.yard, purpose="honey")
    held = ColonyFactory(tag="C4", yard=day.yard)
    HoldFactory(yard=day.yard, colony=held)

    response = client.get(reverse("nucs:batch-make", args=[day.pk]))

    assert [row.donor.tag for row in response.context["form"].donor_rows] == ["C1", "C2"]
    assert "2.5 sealed" in response.text
    assert "not counted" in response.text
    assert second.tag in response.text


def test_a_batch_is_made_with_its_queens(client, crew):
    day, kind, lot = SplitDayFactory(), NucKindFactory(), received_lot(received=5)
    colony = ColonyFactory(yard=day.yard)
    fields = batch_fields(
        client,
        day,
        kind,
        lot=lot.pk,
        queen_in_on="2027-05-05",
        **{f"bees_{colony.pk}": "5", f"brood_{colony.pk}": "4"},
    )

    response = client.post(reverse("nucs:batch-make", args=[day.pk]), fields)

    batch = Batch.objects.get()
    assert response.url == reverse("nucs:batch", args=[batch.pk])
    assert (batch.made, batch.lot, batch.queen_in_on) == (2, lot, date(2027, 5, 5))
    assert Donation.objects.get().bees_frames == 5


def test_a_double_click_makes_one_batch(client, crew):
    day, kind = SplitDayFactory(), NucKindFactory()
    colony = ColonyFactory(yard=day.yard)
    fields = batch_fields(client, day, kind, **{f"bees_{colony.pk}": "5", f"brood_{colony.pk}": "4"})
    url = reverse("nucs:batch-make", args=[day.pk])

    first, second = client.post(url, fields), client.post(url, fields)

    assert second.url == first.url
    assert Batch.objects.count() == 1


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"size": "0"}, "size", "greater than or equal to 1"),
        ({"made_on": "2027-05-03"}, "made_on", "cannot be made up before the split day"),
        ({"made_on": "2027-05-07"}, "made_on", "That day is still to come."),
        ({"queen_in_on": "2027-05-05"}, "lot", "Say which lot the queens come from"),
        ({"size": "3"}, "__all__", "The donors gave too little for 3 nucs"),
    ],
)
def test_a_batch_that_cannot_be_is_refused_beside_the_field(client, crew, values, field, words):
    day, kind = SplitDayFactory(), NucKindFactory()
    colony = ColonyFactory(yard=day.yard)
    frames = {f"bees_{colony.pk}": "5", f"brood_{colony.pk}": "4"}

    response = client.post(
        reverse("nucs:batch-make", args=[day.pk]), batch_fields(client, day, kind, **frames, **values)
    )

    assert response.status_code == 422
    assert words in response.context["form"].errors[field][0]
    assert response.context["form"][f"bees_{colony.pk}"].value() == "5"
    assert not Batch.objects.exists()


def test_too_few_queens_are_refused_beside_the_lot(client, crew):
    day, kind, lot = SplitDayFactory(), NucKindFactory(), received_lot(received=1)
    colony = ColonyFactory(yard=day.yard)
    fields = batch_fields(
        client,
        day,
        kind,
        lot=lot.pk,
        queen_in_on="2027-05-05",
        **{f"bees_{colony.pk}": "5", f"brood_{colony.pk}": "4"},
    )

    response = client.post(reverse("nucs:batch-make", args=[day.pk]), fields)

    assert "has 1 live queens left and 2 were asked for" in response.context["form"].errors["lot"][0]


def test_a_lot_without_its_day_is_refused_beside_the_day(client, crew):
    day, kind, lot = SplitDayFactory(), NucKindFactory(), received_lot(received=5)

    response = client.post(reverse("nucs:batch-make", args=[day.pk]), batch_fields(client, day, kind, lot=lot.pk))

    assert response.context["form"].errors["queen_in_on"] == ["Enter the day the queens went in, or choose no lot yet."]


# --- A batch.


def test_a_batch_shows_its_nucs_and_what_each_lacks(client, crew):
    batch = made_batch(2)
    first = batch.nucs.order_by("number").first()
    services.record_check(nuc_id=first.pk, on=date(2027, 5, 6), actor=crew, covered_halves=5)

    response = client.get(reverse("nucs:batch", args=[batch.pk]))

    assert "2½ of 4 frames covered" in response.text
    assert response.context["counts"]["live"] == 2
    assert "CAD" not in response.text


def test_a_batch_of_many_takes_a_bounded_number_of_queries(client, crew, django_assert_max_num_queries):
    batch = made_batch(20)

    with django_assert_max_num_queries(14):
        client.get(reverse("nucs:batch", args=[batch.pk]))


def test_queens_are_put_into_a_batch_that_waits(client, crew):
    batch, lot = made_batch(2, queened=False), received_lot(received=5)
    url = reverse("nucs:queens-in", args=[batch.pk])

    assert url in client.get(reverse("nucs:batch", args=[batch.pk])).text
    response = client.post(url, {"lot": lot.pk, "queen_in_on": "2027-05-05"})

    assert response.url == reverse("nucs:batch", args=[batch.pk])
    batch.refresh_from_db()
    assert batch.queen_in_on == date(2027, 5, 5)


def test_queens_before_make_up_are_refused_beside_the_day(client, crew):
    batch, lot = made_batch(2, queened=False), received_lot(received=5)

    response = client.post(reverse("nucs:queens-in", args=[batch.pk]), {"lot": lot.pk, "queen_in_on": "2027-05-03"})

    assert response.status_code == 422
    assert "on the day of make-up or later" in response.context["form"].errors["queen_in_on"][0]


# --- The sheet of checks.


def sheet_fields(client, batch, **values):
    sheet = client.get(reverse("nucs:batch-check", args=[batch.pk])).context["sheet"]
    return {"once_key": sheet.head["once_key"].value(), "on": "2027-05-06", **values}


def test_ticked_nucs_take_what_is_the_same_for_all(client, crew):
    batch = made_batch(3)
    first, second, _third = batch.nucs.order_by("number")
    fields = sheet_fields(
        client,
        batch,
        **{
            "all-queen": "released",
            "all-queen_cells": "no",
            f"nuc{first.pk}-looked": "on",
            f"nuc{first.pk}-covered_halves": "6",
            f"nuc{second.pk}-looked": "on",
            f"nuc{second.pk}-queen": "missing",
        },
    )

    response = client.post(reverse("nucs:batch-check", args=[batch.pk]), fields)

    assert response.status_code == 302
    seen = {c.nuc.number: (c.queen, c.queen_cells, c.covered_halves) for c in Check.objects.select_related("nuc")}
    assert seen == {1: ("released", False, 6), 2: ("missing", False, None)}
    second.refresh_from_db()
    assert second.state == "failed"


def test_a_row_with_something_in_it_counts_without_its_tick(client, crew):
    batch = made_batch(2)
    first = batch.nucs.order_by("number").first()
    fields = sheet_fields(client, batch, **{f"nuc{first.pk}-food_halves": "0"})

    client.post(reverse("nucs:batch-check", args=[batch.pk]), fields)

    assert Check.objects.get().food_halves == 0


def test_an_empty_sheet_is_refused(client, crew):
    batch = made_batch(2)

    response = client.post(reverse("nucs:batch-check", args=[batch.pk]), sheet_fields(client, batch))

    assert response.status_code == 422
    assert "Nothing is recorded yet. Tick the nucs you looked at." in response.text


def test_a_check_that_cannot_be_is_refused_in_its_row(client, crew):
    batch = made_batch(2, queened=False)
    first = batch.nucs.order_by("number").first()
    fields = sheet_fields(client, batch, **{f"nuc{first.pk}-queen": "laying", f"nuc{first.pk}-note": "calm"})

    response = client.post(reverse("nucs:batch-check", args=[batch.pk]), fields)

    assert response.status_code == 422
    row = response.context["sheet"].rows[0]
    assert row.errors["looked"] == ["Nuc 1 was given no queen yet. Put its queen in first."]
    assert row["note"].value() == "calm"
    assert not Check.objects.exists()


def test_nucs_that_left_are_not_on_the_sheet(client, crew):
    batch = made_batch(2)
    lost = batch.nucs.order_by("number").first()
    services.end_nuc(nuc_id=lost.pk, state="lost", on=date(2027, 5, 6), cause="robbed out", actor=crew)

    sheet = client.get(reverse("nucs:batch-check", args=[batch.pk])).context["sheet"]

    assert [row.nuc.number for row in sheet.rows] == [2]


# --- Kinds and panels.


def test_kinds_are_shown_with_recipe_and_standard(client, crew):
    services.install_reference_kinds()

    response = client.get(reverse("nucs:kind-list"))

    assert "2½ frames of bees, 2 of brood, 1 of food, 2 of drawn comb" in response.text
    assert "4 frames covered, 3 with brood, 1 of food" in response.text
    assert reverse("nucs:kind-edit", args=["spring-5"]) not in response.text


def kind_fields(kind, **values):
    return {**{name: getattr(kind, name) for name in (*KIND_FIELDS, "version")}, **values}


def test_a_kind_is_changed_and_an_impossible_one_refused(client, season):
    client.force_login(UserFactory(office=True))
    kind = NucKindFactory()
    url = reverse("nucs:kind-edit", args=[kind.code])

    refused = client.post(url, kind_fields(kind, sale_covered="6"))
    done = client.post(url, kind_fields(kind, keeps_days="12"))

    assert refused.status_code == 422
    assert "A nuc cannot cover more frames than its box holds." in refused.text
    assert done.status_code == 302
    kind.refresh_from_db()
    assert kind.keeps_days == 12


def test_a_kind_is_added(client, season):
    client.force_login(UserFactory(office=True))
    fields = kind_fields(NucKindFactory(), code="spring-3", name="3-frame nuc")

    first = client.post(reverse("nucs:kind-add"), fields)
    second = client.post(reverse("nucs:kind-add"), fields)

    assert first.status_code == 302
    assert second.context["form"].errors["code"] == [
        "There is already a kind with the code spring-3. Choose another code."
    ]


def test_a_colony_page_shows_the_frames_it_gave(client, crew):
    day = SplitDayFactory()
    colony = ColonyFactory(tag="C7", yard=day.yard)
    quiet = ColonyFactory(tag="C8", yard=day.yard)
    made_batch(
        1, split_day=day, queened=False, donations=[services.DonationDraft(colony.pk, Decimal("2.5"), Decimal(2))]
    )

    gave = client.get(reverse("yards:colony", args=[colony.tag]))

    assert "Frames given to nucs" in gave.text
    assert "2.5" in gave.text
    assert "Frames given to nucs" not in client.get(reverse("yards:colony", args=[quiet.tag])).text


def test_a_lot_page_shows_the_batches_its_queens_went_into(client, crew):
    batch = made_batch(2)
    first = batch.nucs.order_by("number").first()
    services.end_nuc(nuc_id=first.pk, state="lost", on=date(2027, 5, 6), cause="robbed out", actor=crew)

    response = client.get(reverse("queens:lot", args=[batch.lot.code]))

    assert reverse("nucs:batch", args=[batch.pk]) in response.text
    panel = response.context["panels"][0]
    assert [(row.made, row.in_hand) for row in panel.context["rows"]] == [(2, 1)]


def test_split_days_are_saved_as_a_file(client, crew):
    SplitDayFactory()

    response = client.get(reverse("nucs:split-day-list") + "?export=csv")

    assert "split-days.csv" in response["Content-Disposition"]
