"""The field book on a phone: no signal, a killed browser, two phones at once, an update, nobody signed in."""

import re
from datetime import date

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from apiary_ops.fieldbook import shell, views
from apiary_ops.fieldbook.models import Record
from apiary_ops.yards.models import Colony, FrameMove, Hold, Look, Tally, Task, Visit
from apiary_ops.yards.services import install_reference_rules
from tests.browser.conftest import SHOTS, no_sideways_scroll
from tests.browser.phone import SOON, Phone
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, LookFactory, TaskFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.browser

TODAY = date(2027, 4, 12)
PASSWORD = "nine frames of brood"
COUNT_TAPS = "window.taps = 0; document.addEventListener('click', () => { window.taps += 1; }, true);"


@pytest.fixture
def season(transactional_db, settings):
    settings.PRETENDED_TODAY = TODAY
    BusinessFactory(inspector="Bee inspector of the district", inspector_phone="555 0142")
    install_reference_rules()
    return SeasonFactory()


@pytest.fixture
def yard(season):
    return YardFactory(
        code="mill-lane", name="Mill Lane", round_trip_km=64, gate_code="2468", hazards="Bull in the field."
    )


@pytest.fixture
def crew(season):
    """Two of the crew, each with a phone of their own."""
    people = [
        UserFactory(username=name.split()[0].lower(), full_name=name, crew=True)
        for name in ("Tove Brook", "Alec Marsh")
    ]
    for person in people:
        person.set_password(PASSWORD)
        person.save()
    return people


@pytest.fixture
def phone(browser, live_server, tmp_path):
    """Switch on a phone; a script error on any of them fails the test."""
    phones = []

    def switch_on(person=None, *, pack=None, scheme="light"):
        phone = Phone(browser, live_server.url, tmp_path / f"phone-{len(phones)}", scheme)
        phones.append(phone)
        if person:
            phone.sign_in(person.username, PASSWORD)
        if pack:
            phone.pack(pack.name)
        return phone

    yield switch_on
    for phone in phones:
        phone.kill()  # a browser asked to close may take its time over a worker that is still sending
    assert [trouble for phone in phones for trouble in phone.troubles] == []


def colonies(yard, count):
    return [ColonyFactory(yard=yard, tag=f"M{place:02}", position=place) for place in range(1, count + 1)]


def test_forty_colonies_survive_a_killed_browser_and_arrive_once(phone, yard, crew):
    colonies(yard, 40)
    hand = phone(crew[0], pack=yard)
    hand.context.set_offline(True)
    hand.start("Mill Lane")
    for place in range(1, 21):
        hand.heading(f"{place} · M{place:02}")
        hand.look("6½", "few", "half")
    hand.tap("5")
    expect(hand.page.locator(".field-answered")).to_have_text("5 frames from below")

    hand.kill()
    hand.switch_on_again(offline=True)
    hand.heading("21 · M21")
    expect(hand.page.locator(".field-answered")).to_have_text("5 frames from below")
    for name in ("empty", "gone", "Next"):
        hand.tap(name)
    for place in range(22, 41):
        hand.heading(f"{place} · M{place:02}")
        hand.look("8", "brood", "plenty")
    hand.heading("Mill Lane")
    hand.leave()
    expect(hand.page.locator("#waiting")).to_contain_text("To send: 42")
    assert Record.objects.count() == 0
    hand.context.set_offline(False)
    hand.context.clear_cookies()  # a browser that is killed soon after sign-in may not have written it down
    hand.sign_in(crew[0].username, PASSWORD)
    hand.all_sent()

    visit = Visit.objects.get()
    halves = list(visit.looks.order_by("colony__position").values_list("below_halves", flat=True))
    assert halves == [13] * 20 + [10] + [16] * 19
    assert (visit.yard, visit.on, visit.temperature_c, visit.sky, visit.km) == (yard, TODAY, 7, "cloud", 64)
    assert visit.left_at is not None
    assert list(visit.crew.all()) == [crew[0]]
    assert set(Record.objects.values_list("state", flat=True)) == {"landed"}


def test_a_plain_look_takes_four_taps_and_the_same_as_last_takes_two(phone, yard, crew, season):
    rows = colonies(yard, 3)
    before = VisitFactory(season=season, yard=yard, on=date(2027, 4, 2))
    LookFactory(visit=before, colony=rows[1], below_halves=11, lower_box="few", patty="half")
    hand = phone(crew[0], pack=yard)
    hand.start("Mill Lane")
    hand.page.evaluate(COUNT_TAPS)

    hand.look("6½", "few", "half")
    hand.heading("2 · M02")
    plain = hand.page.evaluate("window.taps")
    hand.tap("same as last")
    hand.tap("Next")
    hand.heading("3 · M03")

    assert plain == 4
    assert hand.page.evaluate("window.taps") - plain == 2
    hand.all_sent()
    first, second = Look.objects.filter(visit__on=TODAY).order_by("colony__position")
    assert (first.below_halves, first.lower_box, first.patty, first.queen) == (13, "few", "half", "")
    assert (second.below_halves, second.lower_box, second.patty) == (11, "few", "half")


def test_the_last_tap_is_undone_even_when_it_saved(phone, yard, crew):
    colonies(yard, 2)
    hand = phone(crew[0], pack=yard)
    hand.context.set_offline(True)
    hand.start("Mill Lane")
    hand.look("6½", "few", "half")
    hand.heading("2 · M02")

    hand.tap("Undo")
    hand.heading("1 · M01")
    expect(hand.page.locator(".field-answered")).to_have_text(
        "6½ frames from below · a few in the lower box · half a patty"
    )
    hand.tap("Undo")
    expect(hand.page.locator(".field-answered")).to_have_text("6½ frames from below · a few in the lower box")
    hand.tap("gone")
    hand.tap("Next")
    hand.heading("2 · M02")
    hand.context.set_offline(False)
    hand.page.evaluate("window.dispatchEvent(new Event('online'))")
    hand.all_sent()

    assert list(Look.objects.values_list("colony__tag", "patty")) == [("M01", "gone")]


def test_two_phones_on_one_colony_give_a_question(phone, yard, crew):
    colonies(yard, 2)
    tove, alec = (phone(person, pack=yard) for person in crew)
    for hand, frames in ((tove, "6½"), (alec, "4")):
        hand.context.set_offline(True)
        hand.start("Mill Lane")
        hand.look(frames, "few", "half")
        hand.heading("2 · M02")

    for hand in (tove, alec):
        hand.context.set_offline(False)
        hand.page.evaluate("window.dispatchEvent(new Event('online'))")
        hand.all_sent()

    assert list(Look.objects.values_list("below_halves", "observed_by")) == [(13, crew[0].pk)]
    asked = Record.objects.get(state="question")
    assert (asked.payload["below_halves"], asked.observed_by) == (8, crew[1])
    assert Visit.objects.count() == 1
    alec.page.locator("#waiting").click()
    expect(alec.page.locator("#top")).to_contain_text("Two people said different things")


def test_a_signed_out_phone_keeps_everything_and_sends_after_sign_in(phone, yard, crew):
    colonies(yard, 2)
    hand = phone(crew[0], pack=yard)
    hand.context.clear_cookies()
    hand.start("Mill Lane")
    hand.look("6½", "few", "half")

    expect(hand.page.locator("#waiting")).to_have_text(re.compile(r"^To send: \d · signed out$"), timeout=SOON)
    assert Record.objects.count() == 0
    hand.page.locator("#waiting").click()
    hand.follow("Sign in")
    hand.sign_in(crew[1].username, PASSWORD)
    hand.all_sent()

    look = Look.objects.get()
    assert (look.below_halves, look.observed_by) == (13, crew[0])
    assert set(Record.objects.values_list("sent_by", flat=True)) == {crew[1].pk}


def test_a_newer_shell_takes_over_at_a_start_and_loses_no_tap(phone, yard, crew, monkeypatch):
    colonies(yard, 2)
    hand = phone(crew[0], pack=yard)
    hand.start("Mill Lane")
    hand.tap("6½")
    expect(hand.page.locator(".field-answered")).to_have_text("6½ frames from below")
    page, old = shell.shell_html(), shell.shell().version
    for place in (shell, views):
        monkeypatch.setattr(place, "shell_html", lambda: page.replace("<body", "<body data-renewed"))
    new = shell.shell().version

    # Asked for without waiting: a page has no time limit of its own.
    hand.page.evaluate("() => { navigator.serviceWorker.getRegistration('/field/').then((found) => found.update()); }")
    hand.until("navigator.serviceWorker.getRegistration('/field/').then((found) => Boolean(found.waiting))")
    assert set(hand.page.evaluate("caches.keys()")) == {f"fieldbook-{old}", f"fieldbook-{new}"}
    hand.heading("1 · M01")
    hand.start_renewed()

    expect(hand.page.locator("body[data-renewed]")).to_be_attached()
    hand.heading("1 · M01")
    assert hand.page.evaluate("caches.keys()") == [f"fieldbook-{new}"]
    expect(hand.page.locator(".field-answered")).to_have_text("6½ frames from below")


def test_the_kept_shell_holds_no_token_and_no_name(phone, yard, crew):
    hand = phone(crew[0], pack=yard)
    session = hand.page.request.get(f"{hand._address}/field/session/").json()

    kept = hand.page.evaluate(
        """async () => {
          const texts = [];
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const request of await cache.keys()) {
              texts.push([new URL(request.url).pathname, await (await cache.match(request)).text()]);
            }
          }
          return texts;
        }"""
    )

    assert len(kept) > 20
    assert {path for path, _ in kept if not path.startswith("/static/")} == {"/field/", "/field/manifest.webmanifest"}
    for path, text in kept:
        for secret in ("Tove", "Brook", "csrfmiddlewaretoken", session["csrf"], "Mill Lane"):
            assert secret not in text, path


def test_a_tap_on_disease_stops_the_visit_and_holds_the_yard(phone, yard, crew):
    colonies(yard, 3)
    hand = phone(crew[0], pack=yard)
    hand.start("Mill Lane")
    hand.tap("6½")
    hand.tap("disease?")

    hand.heading("Stop at M01")
    call = hand.page.get_by_role("link", name="Call the inspector: Bee inspector of the district 555 0142")
    expect(call).to_have_attribute("href", "tel:5550142")
    hand.page.goto(hand.page.url.replace("/stop", "/look/M02"))
    hand.heading("Stop at M01")
    hand.follow("Leave the yard")
    hand.tap("Next")
    hand.tap("Leave")
    hand.all_sent()

    assert Look.objects.get().suspect_disease is True
    assert Hold.objects.get(yard=yard).ended_on is None


def test_a_dead_colony_a_task_and_moved_frames_arrive(phone, yard, crew, season):
    rows = colonies(yard, 3)
    task = TaskFactory(yard=yard, season=season, colony=rows[1], what="Give a patty")
    hand = phone(crew[0], pack=yard)
    hand.start("Mill Lane")
    for name in ("0", "dead", "starved"):
        hand.tap(name)
    hand.heading("2 · M02")
    for name in ("5", re.compile("^tasks: 1"), re.compile("^Give a patty"), "Next"):
        hand.tap(name)
    hand.heading("3 · M03")
    hand.follow("Yard")
    hand.follow("Frames")
    hand.tap("3 · M03")
    hand.tap("2 · M02")
    hand.page.get_by_role("button", name="+1", exact=True).first.click()
    hand.tap("Save")
    hand.heading("Mill Lane")
    hand.leave()
    hand.all_sent()

    rows[0].refresh_from_db()
    assert (rows[0].state, rows[0].loss_cause) == (Colony.State.LOST, "starved")
    assert Task.objects.get(pk=task.pk).done_on == TODAY
    moved = FrameMove.objects.get()
    assert (moved.from_colony, moved.to_colony, moved.brood_frames, moved.food_frames) == (rows[2], rows[1], 1, 0)
    assert set(Record.objects.values_list("state", flat=True)) == {"landed"}


def test_a_yard_is_tallied_by_steps(phone, yard, crew):
    colonies(yard, 8)
    hand = phone(crew[0], pack=yard)
    hand.start("Mill Lane", depth="tally only")
    for _ in range(2):
        hand.page.get_by_role("group", name="best").get_by_role("button", name="+1", exact=True).click()
    hand.page.get_by_role("group", name="ordinary").get_by_role("button", name="+5", exact=True).click()
    hand.page.get_by_role("group", name="dead").get_by_role("button", name="+1", exact=True).click()
    expect(hand.page.locator("#subheading")).to_have_text("Counted: 8 of 8")
    hand.tap("Save")
    hand.follow("Leave")
    hand.tap("Next")
    hand.tap("Leave")
    hand.all_sent()

    tally = Tally.objects.get()
    assert dict(tally.counts.exclude(colonies=0).values_list("grade", "colonies")) == {"best": 2, "ordinary": 5}
    assert tally.dead == 1


def test_forgetting_a_phone_asks_twice_while_something_waits(phone, yard, crew):
    colonies(yard, 1)
    hand = phone(crew[0], pack=yard)
    hand.context.set_offline(True)
    hand.start("Mill Lane")
    hand.look("6½", "few", "half")
    hand.heading("Mill Lane")
    hand.page.evaluate("location.hash = '#/forget'")

    hand.tap("Forget")
    expect(hand.page.locator("#top")).to_contain_text("Really lose it?")
    hand.tap("Forget now")

    expect(hand.page.locator("#top")).to_contain_text("pack the yards you go to while there is signal")
    expect(hand.page.locator("#waiting")).to_have_text("To send: 0")


SMALLEST = """() => [...document.querySelectorAll('.tap, .button, .stop, #back:not([hidden]), #waiting, .field-link')]
  .map((target) => [target.textContent, target.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 60 || box.width < 60) && box.height < 60)
  .map(([text]) => text)"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_screen_can_be_used_by_everyone(phone, yard, crew, season, scheme):
    rows = colonies(yard, 12)
    before = VisitFactory(season=season, yard=yard, on=date(2027, 4, 2))
    LookFactory(visit=before, colony=rows[0], below_halves=11, lower_box="few", patty="half")
    TaskFactory(yard=yard, season=season, colony=rows[0], what="Give a patty")
    TaskFactory(yard=yard, season=season, what="Mend the fence")
    hand = phone(crew[0], pack=yard, scheme=scheme)
    wrong = []

    def check(name):
        hand.page.wait_for_timeout(150)
        SHOTS.mkdir(exist_ok=True)
        hand.page.screenshot(path=SHOTS / f"field-{name}-{scheme}.png")
        found = Axe().run(hand.page).response["violations"]
        wrong.extend((name, rule["id"], rule["nodes"][0]["html"][:120]) for rule in found)
        wrong.extend((name, "small", text) for text in hand.page.evaluate(SMALLEST))
        if not no_sideways_scroll(hand.page):
            wrong.append((name, "scrolls sideways", ""))

    check("home")
    hand.page.goto(f"{hand._address}/field/#/choose")
    check("choose")
    hand.follow("Done")
    hand.page.get_by_role("link", name=re.compile("^Mill Lane")).click()
    check("start-crew")
    hand.tap("Next")
    hand.tap("+1")
    check("start-weather")
    hand.tap("Next")
    check("start-counting")
    hand.tap("both ways")
    hand.tap("Start")
    check("look-count")
    hand.tap("6½")
    hand.question("Frames from above")
    hand.tap("7")
    hand.question("Lower box")
    check("look-rest")
    hand.tap(re.compile("^tasks"))
    check("look-tasks")
    hand.tap("Back")
    hand.tap(re.compile("^more"))
    check("look-more")
    for name in ("cut out", "heavy", "queen seen", re.compile("^Sealed brood")):
        hand.tap(name)
    check("look-sealed")
    hand.tap("3½")
    hand.tap("Back")
    hand.question("Heft")
    for name in ("Back", "spilling", "plenty", "Next"):
        hand.tap(name)
    hand.heading("2 · M02")
    hand.tap("Next")
    check("look-nothing")
    hand.tap("4")
    hand.question("Frames from above")
    hand.tap("5")
    hand.tap("dead")
    check("lost")
    hand.follow("Not dead")
    hand.follow("Yard")
    check("rows")
    hand.follow("Frames")
    check("frames-from")
    hand.tap("1 · M01")
    hand.tap("3 · M03")
    check("frames-what")
    hand.follow("Yard")
    hand.follow("Leave")
    check("leave-jobs")
    hand.tap("Next")
    hand.tap("patties")
    hand.tap("+5")
    check("leave-materials")
    hand.follow("Yard")
    hand.follow("Go on")
    hand.tap("disease?")
    check("stop")
    hand.page.evaluate("location.hash = '#/waiting'")
    check("waiting")
    hand.page.evaluate("location.hash = '#/forget'")
    check("forget")
    hand.page.evaluate("location.hash = '#/'")
    hand.page.get_by_role("link", name=re.compile("^Mill Lane.*packed")).click()
    for name in ("Next", "Next", "tally only", "Start", "+5"):
        hand.page.get_by_role("button", name=name, exact=True).first.click()
    check("tally")

    assert wrong == []
