"""The navigation marks one place as the one that is open."""

from apiary_ops.core import shell


def current(url_name: str) -> list[str]:
    links = [
        link for is_main in (True, False) for link in shell.nav_links(url_name, lambda page: True, is_main=is_main)
    ]
    return [str(link.label) for link in links if link.is_current]


def test_a_page_with_a_place_of_its_own_is_marked_alone():
    assert current("orders:buyers") == ["Buyers"]


def test_another_page_of_an_app_marks_the_first_place_of_that_app():
    assert current("orders:order") == ["Orders"]


def test_a_page_without_a_place_marks_nothing():
    assert current("nowhere:page") == []
