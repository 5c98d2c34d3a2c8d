"""Whatever bytes are given, the reader answers with lines or with a refusal fit to show, and nothing else."""

import random

from hypothesis import example, given
from hypothesis import strategies as st

from apiary_ops.sheets.compute import Unreadable

from .shapes import rows_and_faults, said
from .test_workbooks import HEAD, saved

WORKBOOK = saved(HEAD, ("C1", None, 5.5, 2, "fine"), ("C2", None, 6, 1, "x"))


def answers(content):
    """Whether the file was read or refused in words; anything else is raised."""
    try:
        rows, faults = rows_and_faults(content)
    except Unreadable as refusal:
        return said(refusal.saying).endswith(".")
    return bool(rows) and all(said(fault.saying).endswith(".") for fault in faults)


@given(st.binary(max_size=300))
@example(b"\xff\xfe\0\0")
@example(b"sep=;")
@example(b"sep=")
@example(b'"')
@example(b"PK")
def test_any_bytes_are_read_or_refused(content):
    assert answers(content)


@given(st.text(alphabet="Tag,;\t\"'\r\n=+-@5½,.\0\ufeff x", max_size=80))
def test_any_text_is_read_or_refused(text):
    assert answers(text)


@given(st.integers(0, 10_000))
def test_a_workbook_damaged_anywhere_is_read_or_refused(seed):
    chance = random.Random(seed)
    content = bytearray(WORKBOOK)
    for _ in range(chance.randint(1, 6)):
        content[chance.randrange(len(content))] = chance.randrange(256)

    assert answers(bytes(content))
