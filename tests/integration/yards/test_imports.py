"""Colonies and looks from files: all of them or none, every rule of the yard kept, and all taken back by an undo."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from apiary_ops.sheets import queries as sheets
from apiary_ops.sheets import services
from apiary_ops.sheets.registry import importer_of
from apiary_ops.yards.models import Colony, Hold, Look, Task, Visit
from apiary_ops.yards.services import BuiltUpon, ChangedMeanwhile, edit_colony, import_colonies, record_look
from apiary_ops.yards.services.looks import LookDraft, correct_look
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, LookFactory, TaskFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 4, 12, 15, 0, tzinfo=UTC)


@pytest.fixture
def office(db):
    BusinessFactory()
    SeasonFactory(year=2027)
    return UserFactory(full_name="Ib Desk", username="ib", office=True)


@pytest.fixture
def yard(office):
    return YardFactory(code="mill-lane", name="Mill Lane")


@pytest.fixture
def give(office):
    def give(kind, *lines, day_order=""):
        content = "\n".join(lines).encode()
        run = services.read_file(kind=kind, file_name="hives.csv", content=content, actor=office, now=NOW)
        run.day_order = day_order
        return run

    return give


@pytest.fixture
def bring(give, office, today):
    """Give a file and import it."""

    def bring(kind, *lines):
        run = give(kind, *lines)
        return services.carry_out(run_id=run.pk, today=today, actor=office, now=NOW)

    return bring


def wrong(run, today):
    reading = sheets.reading_of(run, importer_of(run.kind), today)
    return [(fault.line, fault.column, fault.wrong) for fault in reading.faults]


HEAD = "Tag;Yard;Position;Boxes;Started on;Kept for;Queen's year;State;Ended on;Why it ended"


# --- Colonies.


def test_colonies_stand_where_the_file_says_and_the_rest_follow(bring, yard, office):
    ColonyFactory(yard=yard, tag="C0001", position=1)
    other = YardFactory(code="hill", name="Hill")

    run = bring(
        "colonies",
        HEAD,
        "c0002;mill-lane;;1;2027-04-01;honey;2026",
        "C0003;MILL LANE;5;;2026-05-01",
        "C0004;mill-lane;;;2026-05-01",
        "C0005;hill;;;2026-05-01;;;lost;2027-01-03;starved",
    )

    rows = Colony.objects.filter(import_run=run).order_by("tag")
    assert [(row.tag, row.yard.code, row.position, row.boxes, row.purpose, row.state) for row in rows] == [
        ("C0002", "mill-lane", 6, 1, "honey", "live"),
        ("C0003", "mill-lane", 5, 2, "nucs", "live"),
        ("C0004", "mill-lane", 7, 2, "nucs", "live"),
        ("C0005", "hill", 1, 2, "nucs", "lost"),
    ]
    assert (rows[0].queen_year, rows[3].ended_on, rows[3].loss_cause) == (2026, date(2027, 1, 3), "starved")
    assert rows[3].yard == other
    assert [str(row.history.get().history_user) for row in rows] == ["Ib Desk"] * 4
    assert (run.state, run.rows, bytes(run.content)) == ("done", 4, b"")


def test_everything_wrong_with_the_colonies_is_said_at_once(give, yard, today):
    ColonyFactory(yard=yard, tag="C0001", position=1)
    YardFactory(code="old-wood", name="Old Wood", is_active=False)
    YardFactory(code="a", name="Twin")
    YardFactory(code="b", name="Twin")

    run = give(
        "colonies",
        HEAD,
        "C0001;mill-lane;2;2;2027-04-01",
        "C0002;nowhere;2;2;2027-04-01",
        "C0003;mill-lane;1;2;2027-04-01",
        "C0004;old-wood;;2;2027-04-01",
        "C0004;mill-lane;9;2;2027-04-01",
        "C0005;mill-lane;9;2;2027-04-13",
        "C 06;mill-lane;;7;2027-04-01;bees",
        "C0007;mill-lane;;;2027-04-01;;;lost;2027-03-01;cold",
        "C0008;mill-lane;;;2027-04-01;;;;2027-04-02;cold",
        "C0009;mill-lane;;;2027-04-01;;;sold;2027-04-02;",
        "C0010;Twin;;;2027-04-01",
        "C0011;mill-lane;20;2;2027-04-01",
        "C0012;mill-lane;20;2;2027-04-01",
    )

    assert wrong(run, today) == [
        (2, "Tag", "This tag is already used. Each colony has its own; choose another."),
        (3, "Yard", "No yard has this code or name. Add the yard first, or mend the word."),
        (4, "Position", "C0001 already stands at this position of mill-lane. Choose another."),
        (5, "Yard", "This yard is not in use. Put it back into use first."),
        (6, "Tag", "This is already said in line 5. Each may stand once."),
        (7, "Started on", "This day is still to come. Facts are recorded once they have happened."),
        (8, "Tag", "A tag is made of letters, digits, dots and hyphens, such as C0031 or 12-A."),
        (8, "Boxes", "It must lie between 1 and 6."),
        (8, "Kept for", "This must be one of: nucs, honey, pollination contract, breeder, drone mother, reserve."),
        (9, "Ended on", "It cannot have ended before it started."),
        (10, "Ended on", "Say under State what became of it, or leave this empty."),
        (10, "Why it ended", "Say under State what became of it, or leave this empty."),
        (11, "Why it ended", "Say why it ended: the cause of the loss, or where it went."),
        (12, "Yard", "More than one yard has this name. Write its code."),
        (14, "Position", "C0011 already stands at this position of mill-lane. Choose another."),
    ]


def test_one_wrong_row_keeps_every_row_out(give, yard, office, today):
    run = give("colonies", HEAD, "C0002;mill-lane;;;2027-04-01", "C0003;nowhere;;;2027-04-01")

    with pytest.raises(services.NotReady, match="Something in this file is wrong as things stand now."):
        services.carry_out(run_id=run.pk, today=today, actor=office, now=NOW)
    assert not Colony.objects.exists()


def test_a_tag_taken_since_the_file_was_read_keeps_every_row_out(give, yard, office, today):
    run = give("colonies", HEAD, "C0002;mill-lane;;;2027-04-01", "C0003;mill-lane;;;2027-04-01")
    rows = sheets.reading_of(run, importer_of("colonies"), today).rows
    ColonyFactory(tag="C0003")

    with pytest.raises(ChangedMeanwhile, match="Someone changed these yards meanwhile. Look at the file again."):
        import_colonies(rows=rows, run=run, today=today, actor=office)
    assert Colony.objects.count() == 1


def test_an_undone_import_leaves_no_colony_but_its_history(bring, yard, office):
    run = bring("colonies", HEAD, "C0002;mill-lane;;;2027-04-01", "C0003;mill-lane;;;2027-04-01")

    services.undo(run_id=run.pk, actor=office, now=NOW)

    run.refresh_from_db()
    assert not Colony.objects.exists()
    assert (run.state, run.undone_by) == ("undone", office)
    assert list(
        Colony.history.filter(tag="C0002").order_by("history_id").values_list("history_type", "history_user_id")
    ) == [
        ("+", office.pk),
        ("-", office.pk),
    ]


def test_colonies_that_were_looked_at_or_changed_are_not_taken_back(bring, yard, office):
    run = bring("colonies", HEAD, "C0002;mill-lane;;;2027-04-01", "C0003;mill-lane;;;2027-04-01")
    look = LookFactory(visit=VisitFactory(yard=yard), colony=Colony.objects.get(tag="C0003"))

    with pytest.raises(BuiltUpon) as refusal:
        services.undo(run_id=run.pk, actor=office, now=NOW)
    assert str(refusal.value) == (
        "Something was recorded since that rests on what this import brought (look: C0003). "
        "Take that back first, or let the import stand."
    )

    Look.objects.filter(pk=look.pk).update(import_run=run)  # an imported look may go
    Look.objects.filter(pk=look.pk).delete()
    colony = Colony.objects.get(tag="C0002")
    edit_colony(colony_id=colony.pk, version=1, changes={"boxes": 3}, actor=office)

    with pytest.raises(BuiltUpon, match="C0002 was changed since it was imported. End what is wrong instead."):
        services.undo(run_id=run.pk, actor=office, now=NOW)
    assert Colony.objects.count() == 2


# --- Looks.

LOOK_HEAD = "Day;Tag;Yard;Temperature;From below;Queen;Patty left;Disease suspected;Note;Seen by"


@pytest.fixture
def colonies(yard):
    return [ColonyFactory(yard=yard, tag=f"C000{number}", position=number) for number in (1, 2, 3)]


def test_looks_come_in_visits_of_their_own_by_yard_day_and_temperature(bring, colonies, office):
    run = bring(
        "looks",
        LOOK_HEAD,
        "2027-04-03;C0001;mill-lane;6,5;5,5;spotty;gone;;a bit late;ib",
        "2027-04-03;C0002;;6.5;7",
        "2027-04-03;C0003;;14;7½",
        "2027-04-10;c0001;;;;none",
    )

    looks = Look.objects.filter(import_run=run).order_by("visit__on", "colony__tag")
    assert [(str(look.visit.on), look.colony.tag, look.visit.temperature_c, look.below_halves) for look in looks] == [
        ("2027-04-03", "C0001", Decimal("6.5"), 11),
        ("2027-04-03", "C0002", Decimal("6.5"), 14),
        ("2027-04-03", "C0003", Decimal("14.0"), 15),
        ("2027-04-10", "C0001", None, None),
    ]
    first = looks[0]
    assert (first.queen, first.patty, first.note, first.observed_by, first.sealed_halves) == (
        "spotty",
        "gone",
        "a bit late",
        office,
        None,
    )
    assert Visit.objects.count() == 3
    assert (first.visit.km, first.visit.notes, first.visit.season.year) == (0, "Imported from hives.csv.", 2027)
    assert not Task.objects.exists()


def test_everything_wrong_with_the_looks_is_said_at_once(give, colonies, yard, today):
    LookFactory(visit=VisitFactory(yard=yard, on=date(2027, 4, 1)), colony=colonies[0])
    YardFactory(code="hill", name="Hill")
    gone = ColonyFactory(yard=yard, tag="C0009", state="lost", ended_on=date(2027, 1, 3), loss_cause="starved")

    run = give(
        "looks",
        LOOK_HEAD,
        "2027-04-03;C0099;;;5",
        "2027-04-01;C0001;;;5",
        "2027-04-02;C0001;hill;300;5,3",
        "2026-05-01;C0002;;;5",
        f"2027-02-01;{gone};;;5",
        "2027-04-03;C0003;;;;;;;;",
        "2027-04-04;C0003;;;21",
        "2027-04-05;C0003;;;5;;;;;Nobody Known",
        "2027-04-06;C0003;;;5",
        "2027-04-06;C0003;;;6",
        "2024-04-06;C0003;;;6",
        "03/04/2027;C0003;;;6",
    )

    assert wrong(run, today) == [
        (2, "Tag", "No colony has this tag. Add the colony first, or mend the tag."),
        (3, "Day", "C0001 was already looked at that day. Correct that look instead."),
        (4, "Yard", "C0001 stands in Mill Lane. Leave the yard empty, or mend the tag."),
        (4, "Temperature °C", "The temperature must lie between -30.0 and 45.0 °C."),
        (4, "From below", "Frames are counted in halves, such as 5 or 5.5."),
        (5, "Day", "C0002 started on Mon 1 Jun 2026, after this look."),
        (5, "Day", "No season holds this day. Add the season first."),
        (6, "Day", "C0009 ended on Sun 3 Jan 2027, before this look."),
        (7, "", "Nothing was noted of this colony. Leave the row out."),
        (8, "From below", "Frames must lie between 0 and 20."),
        (9, "Seen by", "Nobody of this name signs in here."),
        (11, "Tag", "This is already said in line 10. Each may stand once."),
        (12, "Day", "C0003 started on Mon 1 Jun 2026, after this look."),
        (12, "Day", "No season holds this day. Add the season first."),
        (
            13,
            "Day",
            "This could be two different days. Say above how days are written, or write 2027-04-03.",
        ),
    ]


def test_suspected_disease_of_this_season_holds_the_yard(bring, colonies, yard):
    SeasonFactory(year=2026)
    Colony.objects.update(started_on=date(2025, 6, 1))

    bring("looks", LOOK_HEAD, "2026-04-03;C0001;;;5;;;yes")
    assert not Hold.objects.exists()

    bring("looks", LOOK_HEAD, "2027-04-03;C0001;;;5;;;yes")
    assert Hold.objects.get().reason == "disease suspected in C0001"
    assert Task.objects.get().what == "Call the inspector: disease suspected in C0001"


def test_an_undone_import_leaves_neither_look_nor_visit(bring, colonies, office):
    kept = LookFactory(visit=VisitFactory(yard=colonies[0].yard, on=date(2027, 4, 3)), colony=colonies[2])
    run = bring("looks", LOOK_HEAD, "2027-04-03;C0001;;6;5", "2027-04-03;C0002;;6;5")

    services.undo(run_id=run.pk, actor=office, now=NOW)

    assert list(Look.objects.all()) == [kept]
    assert list(Visit.objects.all()) == [kept.visit]
    assert Look.history.filter(history_type="-").count() == 2


def test_looks_that_were_corrected_or_built_upon_are_not_taken_back(bring, colonies, office, yard):
    run = bring("looks", LOOK_HEAD, "2027-04-03;C0001;;6;5", "2027-04-03;C0002;;6;5")
    first, second = Look.objects.order_by("colony__tag")

    task = TaskFactory(yard=yard, colony=colonies[0], source=f"look:{first.pk}", rule="patty")
    with pytest.raises(BuiltUpon, match="A task rests on the look at C0001"):
        services.undo(run_id=run.pk, actor=office, now=NOW)

    task.delete()
    third = ColonyFactory(yard=yard, tag="C0033")
    record_look(visit_id=first.visit_id, look=LookDraft(colony_id=third.pk, below_halves=4), actor=office)
    with pytest.raises(BuiltUpon, match="Something was recorded since that rests on what this import brought"):
        services.undo(run_id=run.pk, actor=office, now=NOW)

    correct_look(look_id=second.pk, version=1, changes={"below_halves": 12}, actor=office)
    with pytest.raises(BuiltUpon, match="The look at C0002 was corrected since it was imported."):
        services.undo(run_id=run.pk, actor=office, now=NOW)
    assert Look.objects.count() == 3


# --- Out and in again.


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@pytest.mark.parametrize("unit", ["C", "F"])
def test_what_was_saved_comes_in_again_as_it_was(ending, unit, office, yard, today):
    from apiary_ops.business.models import Business
    from apiary_ops.sheets.compute import csv_bytes, xlsx_bytes

    Business.objects.update(temperature_unit=unit)
    colony = ColonyFactory(
        yard=yard,
        tag="12-A",
        position=3,
        boxes=3,
        purpose="honey",
        purpose_from=date(2027, 5, 1),
        queen_year=2026,
        queen_origin="'=own line",
        queen_mark="white",
        queen_lot="-7",
    )
    ended = ColonyFactory(yard=yard, tag="13", state="lost", ended_on=date(2027, 1, 3), loss_cause='@h; 5,5 "cold"')
    look = LookFactory(
        visit=VisitFactory(yard=yard, on=date(2027, 4, 3), temperature_c="-0.5"),
        colony=colony,
        below_halves=11,
        queen="none",
        cells="cut",
        heft="light",
        flying=True,
        broken_frame=True,
        observed_by=office,
        note="=5+5 'frames'",
    )
    before = {kind: [dict(row) for row in importer_of(kind).records(unit)] for kind in ("colonies", "looks")}
    files = {}
    for kind in ("colonies", "looks"):
        importer = importer_of(kind)
        columns = sheets.columns_of(importer)
        files[kind] = csv_bytes(columns, before[kind]) if ending == "csv" else xlsx_bytes("x", columns, before[kind])
    run = services.read_file(kind="looks", file_name="x", content=b"Day,Tag\n2027-04-01,x\n", actor=office, now=NOW)
    Look.objects.filter(pk=look.pk).update(import_run=run)
    Look.objects.all().delete()
    Colony.objects.filter(pk__in=[colony.pk, ended.pk]).update(import_run=run)
    Colony.objects.all().delete()

    for kind in ("colonies", "looks"):
        run = services.read_file(kind=kind, file_name=f"x.{ending}", content=files[kind], actor=office, now=NOW)
        services.carry_out(run_id=run.pk, today=today, actor=office, now=NOW)

    for kind in ("colonies", "looks"):
        assert [dict(row) for row in importer_of(kind).records(unit)] == before[kind]
