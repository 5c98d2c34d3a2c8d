"""A file given once is one import: known again, carried out once, undone once."""

from datetime import UTC, datetime

import pytest

from apiary_ops.sheets import queries, services
from apiary_ops.sheets.models import ImportRun
from apiary_ops.yards.models import Colony
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 4, 12, 15, 0, tzinfo=UTC)
FILE = b"Hive;Where;Begun\nC0001;mill-lane;2027-04-01\n"
CHOSEN = {"tag": "Hive", "yard": "Where", "started_on": "Begun"}


@pytest.fixture
def office(db):
    BusinessFactory()
    SeasonFactory(year=2027)
    YardFactory(code="mill-lane")
    return UserFactory(full_name="Ib Desk", office=True)


def given(office, content=FILE, name="hives.csv"):
    return services.read_file(kind="colonies", file_name=name, content=content, actor=office, now=NOW)


def imported(office, today, content=FILE):
    run = given(office, content)
    services.choose_columns(run_id=run.pk, columns=CHOSEN)
    return services.carry_out(run_id=run.pk, today=today, actor=office, now=NOW)


def test_the_same_file_given_twice_is_one_file(office):
    assert given(office).pk == given(office, name="copy of hives.csv").pk


def test_a_file_that_was_imported_is_known_again(office, today):
    run = imported(office, today)

    with pytest.raises(services.AlreadyImported) as refusal:
        given(office)

    assert refusal.value.run == run
    assert str(refusal.value) == (
        "This very file was imported on Mon 12 Apr 2027, given by Ib Desk. Undo that import before giving it again."
    )


def test_a_file_whose_import_was_undone_may_come_again(office, today):
    first = imported(office, today)
    services.undo(run_id=first.pk, actor=office, now=NOW)

    second = imported(office, today)

    assert second.pk != first.pk
    assert Colony.objects.get().import_run == second


def test_which_column_is_which_is_remembered_for_the_next_file(office, today):
    imported(office, today)

    run = given(office, FILE + b"C0002;mill-lane;2027-04-01\n")

    assert run.columns == CHOSEN


def test_an_import_is_carried_out_once(office, today):
    run = imported(office, today)

    with pytest.raises(services.NotWaiting, match="This file was already imported. Give it anew to import it again."):
        services.carry_out(run_id=run.pk, today=today, actor=office, now=NOW)
    with pytest.raises(services.NotWaiting):
        services.choose_columns(run_id=run.pk, columns=CHOSEN)
    with pytest.raises(services.NotWaiting):
        services.forget_file(run_id=run.pk)
    assert Colony.objects.count() == 1


def test_what_is_not_imported_cannot_be_undone(office, today):
    run = given(office)

    with pytest.raises(services.NotImported, match="This file is not imported now, so there is nothing to undo."):
        services.undo(run_id=run.pk, actor=office, now=NOW)


def test_a_file_no_longer_wanted_leaves_nothing(office):
    services.forget_file(run_id=given(office).pk)

    assert not ImportRun.objects.exists()


def test_a_file_that_cannot_be_read_is_not_kept(office):
    with pytest.raises(services.CannotRead, match="This is a PDF. Give the rows as CSV or .xlsx."):
        given(office, b"%PDF-1.7")
    with pytest.raises(services.NothingImports, match="No import of “hats” is known here."):
        services.read_file(kind="hats", file_name="x", content=FILE, actor=office, now=NOW)
    assert not ImportRun.objects.exists()


def test_a_file_with_an_odd_name_is_kept_by_what_can_be_printed_of_it(office):
    assert given(office, name="a\0b\n" + "x" * 200 + ".csv").file_name == "x" * 116 + ".csv"
    assert given(office, FILE + b"C0002;mill-lane;2027-04-01\n", name="\0").file_name == "colonies"


def test_another_sheet_has_its_columns_guessed_anew(office):
    from tests.unit.sheets.test_workbooks import saved

    def more(book):
        book.create_sheet("Spring").append(("Tag", "Yard code", "Since"))
        book["Spring"].append(("C0001", "mill-lane", "2027-04-01"))

    run = given(office, saved(("Hive", "Yard"), ("C0009", "mill-lane"), more=more))
    services.choose_columns(run_id=run.pk, columns=run.columns, sheet="Hives")

    run = services.choose_columns(run_id=run.pk, columns={"tag": "Hive"}, sheet="Spring")

    assert (run.sheet, run.columns) == (
        "Spring",
        {"tag": "Tag", "yard": "Yard code", "started_on": "Since"},
    )


def test_the_history_of_files_reads_no_bytes(office, django_assert_num_queries):
    given(office)

    with django_assert_num_queries(1):
        assert [run.file_name for run in queries.runs()] == ["hives.csv"]
    assert "content" in next(iter(queries.runs())).get_deferred_fields()
