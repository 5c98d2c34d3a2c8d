from apiary_ops.orders import guards
from apiary_ops.orders.models import Line


def test_the_guards_and_the_reads_count_the_same_lines_as_promised():
    written = tuple(state.strip("'") for state in guards.PROMISED_STATES.strip("()").split(", "))

    assert written == Line.PROMISED_STATES
