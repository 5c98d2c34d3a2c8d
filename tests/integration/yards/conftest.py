"""Who works in the yards here, and the yard most of it happens in."""

import pytest

from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory


@pytest.fixture
def ada():
    return UserFactory(full_name="Ada Fell")


@pytest.fixture
def yard():
    return YardFactory(code="mill-lane", name="Mill Lane")
