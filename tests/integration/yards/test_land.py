"""The land a yard stands on: days to stay away, certificates, walks round the fence."""

from datetime import date
from uuid import uuid4

import pytest

from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import queries, services
from apiary_ops.yards.compute import FenceWalk
from apiary_ops.yards.models import Certificate, FenceCheck, NoGo
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)
SOUND = FenceWalk(volts=7_000, wires_tight=True, earth_good=True, growth_clear=True, charger_works=True, signs_up=True)


def stay_away(yard, starts_on=date(2027, 5, 3), ends_on=date(2027, 5, 5), reason="spraying", **more):
    return services.add_no_go(
        yard_id=yard.pk, starts_on=starts_on, ends_on=ends_on, reason=reason, actor=UserFactory(), **more
    )


def certify(yard, **changes):
    facts = {
        "number": "A-17",
        "inspector": "R. Vale",
        "issued_on": date(2027, 4, 1),
        "expires_on": date(2028, 3, 31),
        "today": TODAY,
        "actor": UserFactory(),
    }
    return services.record_certificate(yard_id=yard.pk, **facts | changes)


def walk_round(yard, walk=SOUND, on=TODAY, **more):
    return services.check_fence(yard_id=yard.pk, on=on, walk=walk, today=TODAY, actor=UserFactory(), **more)


# --- Days to stay away.


def test_a_yard_is_closed_from_the_first_day_to_the_last():
    yard, other = YardFactory(name="Mill Lane"), YardFactory()

    no_go = stay_away(yard, reason=" spraying ")

    assert queries.no_go_on(yard.pk, date(2027, 5, 2)) is None
    assert queries.no_go_on(yard.pk, date(2027, 5, 3)) == no_go
    assert queries.no_go_on(yard.pk, date(2027, 5, 5)) == no_go
    assert queries.no_go_on(yard.pk, date(2027, 5, 6)) is None
    assert queries.no_go_on(other.pk, date(2027, 5, 4)) is None
    warning = "Nobody is to drive to Mill Lane on Tue 4 May 2027: spraying."
    assert queries.no_go_warning(yard.pk, date(2027, 5, 4)) == warning
    assert queries.no_go_warning(yard.pk, date(2027, 5, 6)) == ""


def test_days_ahead_are_listed_the_next_first_until_they_are_over():
    yard = YardFactory()
    later = stay_away(yard, date(2027, 6, 1), date(2027, 6, 1), "a wedding")
    now = stay_away(yard, date(2027, 4, 10), date(2027, 4, 12), "lambing")
    stay_away(yard, date(2027, 4, 1), date(2027, 4, 11), "over")

    assert list(queries.no_go_ahead(TODAY)) == [now, later]
    away = queries.land_of(yard, TODAY).days_away
    assert [(days.days, days.is_now) for days in away] == [
        ("Sat 10 Apr 2027 to Mon 12 Apr 2027", True),
        ("Tue 1 Jun 2027", False),
    ]


def test_the_last_day_is_not_before_the_first():
    with pytest.raises(services.EndsBeforeStart, match=r"^The last day cannot come before the first\.$"):
        stay_away(YardFactory(), date(2027, 5, 3), date(2027, 5, 2))


def test_days_to_stay_away_say_why():
    with pytest.raises(services.ReasonMissing, match=r"^Say why nobody may come, so that the next person knows\.$"):
        stay_away(YardFactory(), reason="  ")


def test_a_double_click_closes_a_yard_once():
    yard, key = YardFactory(), uuid4()
    stay_away(yard, once_key=key)

    with pytest.raises(AlreadyDone):
        stay_away(yard, once_key=key)

    assert NoGo.objects.count() == 1


def test_days_taken_back_stay_in_history():
    no_go, actor = stay_away(YardFactory()), UserFactory()

    services.remove_no_go(no_go_id=no_go.pk, actor=actor)

    assert NoGo.objects.count() == 0
    last = NoGo.history.order_by("-history_id").first()
    assert (last.history_type, last.history_user, last.reason) == ("-", actor, "spraying")


# --- Certificates.


@pytest.mark.parametrize(
    ("expires_on", "words", "tone"),
    [
        (date(2027, 4, 11), "ran out on Sun 11 Apr 2027", "broken"),
        (date(2027, 5, 12), "good until Wed 12 May 2027", "mind"),
        (date(2027, 5, 13), "good until Thu 13 May 2027", "good"),
    ],
)
def test_a_certificate_says_whether_it_holds(expires_on, words, tone):
    yard = YardFactory()

    certify(yard, expires_on=expires_on)

    state = queries.land_of(yard, TODAY).certificate
    assert (str(state.certificate), state.words, state.tone) == ("A-17", words, tone)


def test_the_certificate_that_holds_longest_is_shown():
    yard = YardFactory()
    certify(yard, number="A-18", expires_on=date(2028, 4, 1))
    certify(yard, number="A-17", expires_on=date(2027, 4, 5))

    assert str(queries.land_of(yard, TODAY).certificate.certificate) == "A-18"
    assert queries.yards_with_certificate_over(TODAY) == set()
    assert queries.yards_with_certificate_over(date(2028, 4, 2)) == {yard.pk}


def test_a_certificate_is_recorded_once():
    yard = YardFactory(name="Mill Lane")
    certify(yard)

    with pytest.raises(services.CertificateTwice, match=r"^Certificate A-17 of Mill Lane is already recorded\.$"):
        certify(yard, number=" A-17 ")


def test_a_certificate_does_not_run_out_before_it_is_issued():
    with pytest.raises(services.EndsBeforeStart, match=r"^A certificate cannot run out before it is issued\.$"):
        certify(YardFactory(), expires_on=date(2027, 3, 31))


def test_a_certificate_is_not_issued_tomorrow():
    with pytest.raises(services.FutureDay, match=r"^A certificate cannot be recorded before it happens: "):
        certify(YardFactory(), issued_on=date(2027, 4, 13))


def test_a_slip_on_a_certificate_is_put_right_and_the_slip_kept():
    certificate = certify(YardFactory())

    services.correct_certificate(
        certificate_id=certificate.pk,
        number="A-71",
        inspector="R. Vale",
        issued_on=date(2027, 4, 1),
        expires_on=date(2028, 3, 31),
        today=TODAY,
        actor=UserFactory(),
    )

    assert Certificate.objects.get().number == "A-71"
    assert [row.number for row in certificate.history.order_by("history_id")] == ["A-17", "A-71"]


def test_a_corrected_certificate_takes_no_other_ones_number():
    yard = YardFactory()
    certify(yard, number="A-17")
    second = certify(yard, number="A-18")

    with pytest.raises(services.CertificateTwice):
        services.correct_certificate(
            certificate_id=second.pk,
            number="A-17",
            inspector="",
            issued_on=date(2027, 4, 1),
            expires_on=date(2028, 3, 31),
            today=TODAY,
            actor=UserFactory(),
        )


# --- The fence.


def test_a_sound_fence_is_in_order():
    yard = YardFactory(has_bears=True)

    walk_round(yard)

    fence = queries.land_of(yard, TODAY).fence
    assert (fence.words, fence.tone, fence.faults) == ("in order", "good", ())


def test_a_fence_says_what_is_wrong_the_gravest_first():
    yard = YardFactory(has_bears=True)

    walk_round(yard, FenceWalk(volts=4_200, wires_tight=True, earth_good=True, charger_works=True, signs_up=True))

    fence = queries.land_of(yard, TODAY).fence
    assert (fence.words, fence.tone) == ("not in order", "broken")
    assert fence.faults == (
        "The wire carries too little: at least 6,000 volts. Look for growth, loose joints, a flat battery.",
        "Growth touches the wires and draws them down: mow under them.",
    )


def test_the_last_walk_counts():
    yard = YardFactory(has_bears=True)
    walk_round(yard, on=TODAY)
    walk_round(yard, FenceWalk(), on=date(2027, 4, 1))

    assert queries.land_of(yard, TODAY).fence.words == "in order"


def test_a_fence_not_walked_for_a_month_is_to_be_minded():
    yard = YardFactory(has_bears=True)
    walk_round(yard, on=date(2027, 3, 12))

    fence = queries.land_of(yard, TODAY).fence
    assert (fence.words, fence.tone) == ("in order, but not checked for 31 days", "mind")


def test_a_fence_is_asked_for_only_where_bears_come():
    assert queries.land_of(YardFactory(has_bears=True), TODAY).fence.words == "not checked yet"
    assert queries.land_of(YardFactory(), TODAY).fence is None


def test_a_walk_round_the_fence_has_happened():
    with pytest.raises(services.FutureDay, match=r"^A walk round the fence cannot be recorded before it happens: "):
        walk_round(YardFactory(), on=date(2027, 4, 13))


def test_no_fence_carries_30000_volts():
    with pytest.raises(services.ImpossibleVolts, match=r"^A fence carries at most 20,000 volts\. Read the meter again"):
        walk_round(YardFactory(), FenceWalk(volts=30_000))

    assert FenceCheck.objects.count() == 0
