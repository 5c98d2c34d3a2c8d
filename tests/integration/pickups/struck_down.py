"""A hand at the gate in a process of its own: `python -m tests.integration.pickups.struck_down <when> <order>`.

It hands over everything ready for the order and takes 590.00, unless it is struck down first: at the moment the
balance is taken ("paying"), or when the lines move on ("settling"). "look" only says what the database holds.
"""

import os
import signal
import sys
from unittest import mock
from uuid import UUID

import django

MOMENTS = {"paying": "apiary_ops.billing.services.take_balance", "settling": "apiary_ops.orders.services.move_line"}


def main(when: str, number: str) -> None:
    django.setup()
    if when in MOMENTS:
        with mock.patch(MOMENTS[when], side_effect=power_cut):
            hand_over(number)
    elif when == "hand-over":
        print(hand_over(number).invoice.number)
    print(what_stands())


def power_cut(**_) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def hand_over(number: str):
    from apiary_ops.nucs.models import Nuc
    from apiary_ops.orders.models import Order
    from apiary_ops.people.models import User
    from apiary_ops.pickups import services
    from tests.factories.pickups import DAWN

    order = Order.objects.get(number=number)
    line = order.lines.get()
    return services.hand_over(
        once_key=UUID(int=1),
        order_id=order.pk,
        booking_id=None,
        nucs=[(nuc.pk, line.pk) for nuc in Nuc.objects.order_by("number")],
        taken_by_name="Ada Fern",
        payment_cents=59000,
        method="cash",
        at=DAWN,
        actor=User.objects.first(),
    )


def what_stands() -> str:
    from apiary_ops.allocation.models import Binding
    from apiary_ops.billing.models import Invoice, Receipt
    from apiary_ops.books.models import Entry
    from apiary_ops.nucs.models import Nuc
    from apiary_ops.orders.models import Line
    from apiary_ops.pickups.models import HandOver

    counts = [f"{model.__name__} {model.objects.count()}" for model in (HandOver, Binding, Invoice, Receipt, Entry)]
    states = [nuc.state for nuc in Nuc.objects.order_by("number")] + [line.state for line in Line.objects.all()]
    return ", ".join([*counts, *states])


if __name__ == "__main__":
    main(*sys.argv[1:])
