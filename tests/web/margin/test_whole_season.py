"""The margin page of a season with hand-overs."""

from datetime import date

from django.urls import reverse

from apiary_ops.books.services import Posting, post_entry


def page_of(client, tiny):
    client.force_login(tiny.owner)
    return client.get(reverse("margin:season"))


def test_the_page_shows_what_a_nuc_earned(client, tiny, time_machine):
    time_machine.move_to("2027-06-15 15:00+00:00")

    page = page_of(client, tiny)

    assert page.status_code == 200
    for words in ("287.50", "191.78", "707.01", "3 handed over beyond it: the margin of safety"):
        assert words in page.text, words


def test_each_kind_has_its_way_from_price_to_margin(client, tiny, time_machine):
    time_machine.move_to("2027-06-15 15:00+00:00")

    page = page_of(client, tiny).text

    assert page.index("All kinds") < page.index("From price to margin: 5-frame spring nuc")
    assert page.count('class="way-bar"') == 3 * 9
    assert "55.31 in nucs lost or united, borne by those that live: 5 of 6" in page
    assert "585 of 1,305 visit minutes of 725.00; 7 of 10 nucs made; of those that live, 5 of 6 handed over" in page


def test_every_row_of_a_way_adds_up_to_the_margin(client, tiny, time_machine):
    time_machine.move_to("2027-06-15 15:00+00:00")

    for way in page_of(client, tiny).context["ways"]:
        sums = [row for row in way.rows if row.is_sum]
        costs = [row for row in way.rows if not row.is_sum]
        price, _contribution, margin = sums
        assert price.each.cents + sum(row.each.cents for row in costs) == margin.each.cents, way.name
        assert price.total.cents + sum(row.total.cents for row in costs) == margin.total.cents, way.name


def test_the_page_asks_the_database_a_bounded_number_of_times(
    client, tiny, time_machine, django_assert_max_num_queries
):
    time_machine.move_to("2027-06-15 15:00+00:00")
    client.force_login(tiny.owner)
    client.get(reverse("margin:season"))

    with django_assert_max_num_queries(24):
        client.get(reverse("margin:season"))


def test_an_expense_that_no_nuc_explains_is_marked_where_it_stands(client, tiny, time_machine):
    time_machine.move_to("2027-06-15 15:00+00:00")
    post_entry(
        source="manual:slip",
        purpose="manual",
        posted_on=date(2027, 6, 10),
        season_id=tiny.season.pk,
        memo="slip",
        postings=[Posting("cost-of-nucs", 10_00), Posting("bank", -10_00)],
        actor=tiny.owner,
    )

    page = page_of(client, tiny).text

    assert "differs from what the nucs cost: see Close" in page
    assert ">differs</span>" in page
