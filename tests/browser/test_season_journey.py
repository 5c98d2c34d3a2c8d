"""One order from the telephone to the invoice, in a browser, on a desk and on a phone."""

import re
from datetime import date

import pytest
from playwright.sync_api import Page, expect

from apiary_ops.billing.models import Deposit, Invoice
from apiary_ops.capacity.services import make_forecast
from apiary_ops.closing import queries as closing
from apiary_ops.nucs import services as nucs
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Order
from apiary_ops.promise.services import refresh_releases
from tests.browser.conftest import no_sideways_scroll
from tests.factories.season import TinySeason, build_season

TODAY = date(2027, 6, 9)
PASSWORD = "nine frames of brood"


@pytest.fixture
def tiny(transactional_db, settings) -> TinySeason:
    """The small season on its ninth of June: one spring nuc more has just become ready."""
    settings.PRETENDED_TODAY = TODAY
    tiny = build_season()
    spare = Nuc.objects.get(season=tiny.season, kind=tiny.spring, state=Nuc.State.LAYING)
    nucs.record_check(
        nuc_id=spare.pk,
        on=date(2027, 6, 8),
        queen="laying",
        covered_halves=9,
        brood_halves=7,
        own_sealed_brood=True,
        food_halves=3,
        queen_cells=False,
        disease_clear=True,
        actor=tiny.owner,
    )
    make_forecast(season_id=tiny.season.pk, today=TODAY, actor=tiny.owner)
    refresh_releases(season_id=tiny.season.pk, today=TODAY, actor=tiny.owner)
    tiny.owner.set_password(PASSWORD)
    tiny.owner.save()
    return tiny


def sign_in(page: Page, address: str, username: str) -> None:
    page.goto(address)
    page.get_by_label("Sign-in name").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Today's desk")).to_be_visible()


def take_order(page: Page, address: str) -> str:
    """A new buyer rings and asks for one spring nuc; returns the order's number."""
    page.goto(f"{address}/orders/new/")
    page.get_by_role("searchbox", name="Name, telephone or e-mail").fill("Vesna Trewin")
    page.get_by_role("button", name="Find").click()
    expect(page.get_by_role("textbox", name="Name", exact=True)).to_have_value("Vesna Trewin")
    page.get_by_role("textbox", name="Telephone").fill("555 0777")
    page.get_by_role("button", name="Write down and go on").click()
    page.locator("[name$='-0-quantity']").fill("1")
    page.locator("[name$='-0-kind']").select_option(label="5-frame spring nuc")
    page.get_by_role("button", name="Take this order").click()
    expect(page.get_by_role("heading", name=re.compile(r"^Order 2027-\d{4}$"))).to_be_visible()
    return page.get_by_role("heading", level=1).inner_text().removeprefix("Order ")


def take_deposit(page: Page) -> None:
    page.get_by_role("link", name="Take a deposit").click()
    page.get_by_label("Amount").fill("75.00")
    page.get_by_role("button", name="Take it and write the receipt").click()
    expect(page.locator("main")).to_contain_text("75.00")


def promise(page: Page, address: str, number: str) -> None:
    page.goto(f"{address}/orders/{number}/")
    page.get_by_role("button", name="Promise", exact=True).click()
    expect(page.locator("main").get_by_text("promised").first).to_be_visible()
    expect(page.get_by_role("link", name="Tell a week or day")).to_be_visible()


def allocate(page: Page, address: str) -> None:
    page.goto(f"{address}/allocation/")
    page.get_by_role("button", name="Work out the first plan").click()
    page.get_by_role("link", name="Accept this plan").click()
    page.get_by_role("button", name="Accept it").click()
    expect(page.locator("main")).to_contain_text("The plan that stands")


def hand_over(page: Page, address: str, number: str) -> None:
    page.goto(f"{address}/pickups/gate/?q={number}")
    page.get_by_role("link", name=re.compile("Vesna Trewin")).click()
    expect(page.locator("main")).to_contain_text("220.00")
    page.locator("[name=payment]").fill("220.00")
    page.get_by_role("radio", name="card terminal").check()
    page.get_by_label("Taken by").fill("Vesna Trewin")
    page.get_by_role("button", name="Hand over").click()
    expect(page.get_by_role("heading", name="Done: Vesna Trewin")).to_be_visible()


@pytest.mark.browser
def test_an_order_goes_from_the_telephone_to_the_invoice(page, shot, live_server, tiny):
    address = live_server.url

    sign_in(page, address, tiny.owner.username)
    shot("1-desk")
    number = take_order(page, address)
    shot("2-order")
    take_deposit(page)
    shot("3-receipt")
    promise(page, address, number)
    shot("4-promised")
    allocate(page, address)
    shot("5-plan")
    hand_over(page, address, number)
    shot("6-handed-over")
    paper = page.request.get(f"{address}{page.get_by_role('link', name='Invoice (PDF)').get_attribute('href')}")
    page.locator("main dd a").first.click()
    shot("7-invoice")

    assert no_sideways_scroll(page)
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.body().startswith(b"%PDF-")
    order = Order.objects.get(number=number)
    invoice = Invoice.objects.get(order=order)
    assert (invoice.total_cents, invoice.deposit_cents, invoice.owed_cents) == (29_500, 7_500, 0)
    assert Deposit.objects.get(order=order).held_cents == 0
    assert order.lines.get().state == "collected"
    assert [proof.name for proof in closing.proofs(tiny.season.pk) if not proof.agrees] == []
