from uuid import uuid4

import pytest

from apiary_ops.core import once
from apiary_ops.core.models import OnceKey

pytestmark = pytest.mark.django_db


def test_a_key_is_carried_out_once_and_says_where_the_result_stands():
    key = uuid4()
    once.settle(once.claim(key, "deposit"), "/orders/2027-0001/")

    with pytest.raises(once.AlreadyDone, match="nothing was done twice") as refusal:
        once.claim(key, "deposit")

    assert refusal.value.result == "/orders/2027-0001/"
    assert OnceKey.objects.count() == 1


def test_trusted_code_needs_no_key():
    once.settle(once.claim(None, "deposit"), "/anything/")

    assert OnceKey.objects.count() == 0
