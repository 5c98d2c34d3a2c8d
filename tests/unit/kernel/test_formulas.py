"""Text that begins like a formula leaves guarded and comes back as it was."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.formulas import quoted, spreadsheet_safe, unquoted

AWKWARD = st.text(alphabet="'=+-@\t1.ax ", max_size=8)


@pytest.mark.parametrize(
    "text", ["=1+1", "'=1+1", "''", "'", "'twas cold", "-", "- weak", "'-5", "-5", "+", "@home", ""]
)
def test_awkward_text_survives_the_round_trip(text):
    assert unquoted(spreadsheet_safe(quoted(text))) == text


@given(AWKWARD)
def test_any_text_survives_as_csv_and_as_a_spreadsheets_cell(text):
    assert unquoted(spreadsheet_safe(quoted(text))) == text
    assert unquoted(quoted(text)) == text


@given(AWKWARD)
def test_nothing_but_a_plain_number_leaves_looking_like_a_formula(text):
    written = spreadsheet_safe(quoted(text))

    assert not written.startswith(("=", "+", "@", "\t"))
    assert not written.startswith("-") or float(written) < 1
