"""From a file to colonies and back, by hand, without a script."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import load_workbook

from apiary_ops.sheets.models import ImportRun
from apiary_ops.yards.models import Colony
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, YardFactory

pytestmark = pytest.mark.django_db
GOOD = b"Tag;Yard;Started on\nC0001;mill-lane;2027-04-01\nC0002;mill-lane;2027-04-01\n"


@pytest.fixture(autouse=True)
def desk(client, settings, today):
    settings.PRETENDED_TODAY = today
    BusinessFactory()
    SeasonFactory(year=2027)
    YardFactory(code="mill-lane", name="Mill Lane")
    user = UserFactory(full_name="Ib Desk", office=True)
    client.force_login(user)
    return user


def give(client, content=GOOD, name="hives.csv", kind="colonies"):
    file = SimpleUploadedFile(name, content)
    return client.post(reverse("sheets:give", args=[kind]), {"file": file}, follow=True)


def test_a_file_is_looked_at_imported_and_undone(client):
    page = give(client).text

    assert "Ready." in page
    assert "2 colonies would be added in 1 yard." in page
    assert "Read as text in UTF-8, cells apart by semicolons." in page
    assert "Import 2 rows" in page
    assert not Colony.objects.exists()

    run = ImportRun.objects.get()
    page = client.post(reverse("sheets:carry-out", args=[run.pk]), follow=True).text
    assert "2 rows imported." in page
    assert Colony.objects.count() == 2

    page = client.post(reverse("sheets:undo", args=[run.pk]), {"sure": "yes"}, follow=True).text
    assert "Undone: what hives.csv brought is taken back." in page
    assert not Colony.objects.exists()
    assert "hives.csv" in client.get(reverse("sheets:list")).text


def test_everything_wrong_is_listed_by_line_and_can_be_saved(client):
    response = give(client, b"Tag;Yard;Started on;Boxes\nC0001;nowhere;1 Apr 2027;9\n;mill-lane;03/04/2027\n")

    page = response.text
    assert "4 things are wrong." in page
    assert "No yard has this code or name." in page
    assert "It must lie between 1 and 6." in page
    assert "This cannot be left empty." in page
    assert "This could be two different days." in page
    assert reverse("sheets:carry-out", args=[ImportRun.objects.get().pk]) not in page

    saved = client.get(reverse("sheets:run", args=[ImportRun.objects.get().pk]), {"export": "csv"}).content.decode()
    assert saved.splitlines()[1].startswith('2,Yard,nowhere,"No yard has this code or name.')


def test_unknown_heads_are_chosen_by_hand(client):
    page = give(client, b"A;B;C\nC0001;mill-lane;3/4/2027\n").text
    run = ImportRun.objects.get()

    assert "Say below which column of the file holds: Tag, Yard, Started on." in page

    chosen = {"column-tag": "A", "column-yard": "B", "column-started_on": "C", "day_order": "day"}
    page = client.post(reverse("sheets:run", args=[run.pk]), chosen, follow=True).text
    assert "1 colony would be added in 1 yard." in page
    assert "2027-04-03" in page


def test_one_column_chosen_for_two_is_refused_beside_the_field(client):
    give(client, b"A;B;C\nC0001;mill-lane;2027-04-01\n")
    run = ImportRun.objects.get()

    response = client.post(
        reverse("sheets:run", args=[run.pk]), {"column-tag": "A", "column-yard": "A", "column-started_on": "C"}
    )

    assert response.status_code == 422
    assert "“A” was already chosen for Tag." in response.text
    run.refresh_from_db()
    assert run.columns == {}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty. Choose the one with your rows."),
        (b"x" * 5_000_001, "The file is larger than 5 MB. Cut it into smaller ones."),
        (b"PK\x03\x04", "This spreadsheet cannot be read."),
    ],
)
def test_a_file_that_cannot_be_taken_is_refused_beside_the_field(client, content, words):
    response = client.post(
        reverse("sheets:give", args=["colonies"]), {"file": SimpleUploadedFile("hives.csv", content)}
    )

    assert response.status_code == 422
    assert words in response.text
    assert not ImportRun.objects.exists()


def test_no_file_at_all_is_refused(client):
    response = client.post(reverse("sheets:give", args=["colonies"]), {"once": "x"})

    assert response.status_code == 422
    assert "This field is required." in response.text


def test_a_file_known_already_leads_to_its_import(client):
    give(client)
    run = ImportRun.objects.get()
    client.post(reverse("sheets:carry-out", args=[run.pk]))

    page = give(client).text

    assert "This very file was imported on Mon 12 Apr 2027, given by Ib Desk." in page
    assert ImportRun.objects.count() == 1


def test_what_changed_since_the_file_was_read_stops_the_import(client):
    give(client)
    run = ImportRun.objects.get()
    ColonyFactory(tag="C0002")

    page = client.post(reverse("sheets:carry-out", args=[run.pk]), follow=True).text

    assert "Something in this file is wrong as things stand now." in page
    assert "This tag is already used." in page
    assert Colony.objects.count() == 1


def test_an_import_that_is_built_upon_is_not_undone(client, desk):
    from apiary_ops.yards.services import edit_colony

    give(client)
    run = ImportRun.objects.get()
    client.post(reverse("sheets:carry-out", args=[run.pk]))
    edit_colony(colony_id=Colony.objects.get(tag="C0001").pk, version=1, changes={"boxes": 3}, actor=desk)

    response = client.post(reverse("sheets:undo", args=[run.pk]), {"sure": "yes"})

    assert response.status_code == 422
    assert "C0001 was changed since it was imported." in response.text


def test_a_file_can_be_let_go(client):
    give(client)

    page = client.post(reverse("sheets:forget", args=[ImportRun.objects.get().pk]), follow=True).text

    assert "hives.csv is let go; nothing was imported." in page
    assert not ImportRun.objects.exists()


def test_the_empty_file_to_fill_in_tells_what_each_column_takes(client):
    response = client.get(reverse("sheets:template", args=["looks"]), {"export": "xlsx"})
    book = load_workbook(BytesIO(response.content))

    assert response["Content-Disposition"] == 'attachment; filename="looks-template.xlsx"'
    assert [cell.value for cell in book["Looks"][1]][:3] == ["Day", "Tag", "Yard"]
    about = {row[0]: row[1:] for row in book["What it takes"].iter_rows(values_only=True)}
    assert about["Patty left"] == (None, "gone", "gone, half, plenty")
    csv = client.get(reverse("sheets:template", args=["looks"])).content.decode()
    assert csv.startswith("\ufeffDay,Tag,Yard,Temperature °C,")
    assert csv.count("\r\n") == 1


def test_an_empty_template_given_back_says_so(client):
    empty = client.get(reverse("sheets:template", args=["looks"]), {"export": "xlsx"}).content

    assert "There is a head but no row below it." in give(client, empty, "looks.xlsx", "looks").text


def test_all_colonies_are_saved_in_the_shape_they_come_in(client):
    ColonyFactory(tag="C0007", position=3, queen_origin="=cmd", yard=YardFactory(code="hill"))

    saved = client.get(reverse("sheets:save", args=["colonies"])).content.decode()

    assert saved.splitlines()[1] == "C0007,hill,3,2,2026-06-01,nucs,,,,'=cmd,,,live,,"


def test_kinds_nobody_imports_are_not_found(client):
    for page in ("sheets:give", "sheets:template", "sheets:save"):
        assert client.get(reverse(page, args=["hats"])).status_code == 404
