from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books.services import Posting, post_entry


@pytest.fixture
def page(client, tiny, time_machine):
    """The page of the proofs as the bookkeeper of the small season sees it: `page()`."""
    time_machine.move_to("2027-06-15 15:00+00:00")
    client.force_login(tiny.owner)
    return lambda: client.get(reverse("closing:proofs"))


def test_all_proofs_agree_and_show_both_sides(page):
    answer = page()

    assert answer.status_code == 200
    assert "Everything agrees." in answer.text
    assert answer.text.count("agrees</span>") == 2 * 15
    for words in ("Nucs made", "put into nucs", "applied to invoices", "charged to nucs handed over"):
        assert words in answer.text, words


def test_a_proof_that_differs_says_by_how_much_and_leads_to_the_exception(page, tiny):
    post_entry(
        source="manual:slip",
        purpose="manual",
        posted_on=date(2027, 6, 10),
        season_id=tiny.season.pk,
        memo="slip",
        postings=[Posting("deposits-held", -40_00), Posting("bank", 40_00)],
        actor=tiny.owner,
    )

    answer = page()

    assert "1 proof does not agree." in answer.text
    assert "Differs by −40.00 (CAD)." in answer.text
    assert f'<a href="{reverse("books:account", args=["deposits-held"])}">Of “–” in the books:' in answer.text


def test_the_page_asks_the_database_a_bounded_number_of_times(page, django_assert_max_num_queries):
    page()

    with django_assert_max_num_queries(60):
        page()
