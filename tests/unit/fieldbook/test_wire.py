"""A record on the wire is read as far as it can be, and never loses what it carries."""

import json
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.fieldbook.compute import AS_SENT, read_record

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=40),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)
NAMES = ["key", "kind", "version", "parent", "device", "observed_by", "observed_at", "payload"]
WHOLE = {
    "key": "0b6f3c52-2d1f-4c57-8a3c-9f1f2f1f6a01",
    "kind": "look",
    "version": 2,
    "parent": "0b6f3c52-2d1f-4c57-8a3c-9f1f2f1f6a02",
    "device": "0b6f3c52-2d1f-4c57-8a3c-9f1f2f1f6a03",
    "observed_by": 7,
    "observed_at": "2027-04-03T09:30:00-03:00",
    "payload": {"tag": "A1", "below_halves": 11},
}


def test_a_whole_record_is_read_whole():
    sent = read_record(WHOLE)

    assert (sent.key, sent.kind, sent.version, sent.trouble) == (UUID(WHOLE["key"]), "look", 2, "")
    assert sent.payload == WHOLE["payload"]


@given(st.sampled_from(NAMES), ANYTHING)
def test_whatever_stands_in_a_field_is_read_or_kept_whole_with_a_reason(name, value):
    sent = read_record(WHOLE | {name: value})

    assert sent.trouble == "" or (sent.trouble.endswith(".") and list(sent.payload) == [AS_SENT])
    assert sent.trouble or isinstance(sent.payload, dict)
    assert "\0" not in json.dumps(sent.payload, ensure_ascii=False)


@given(ANYTHING)
def test_whatever_comes_as_a_record_never_breaks_the_desk(raw):
    sent = read_record(raw)

    assert sent.trouble != ""
    assert json.loads(json.dumps(sent.raw, allow_nan=False)) == sent.raw
    json.dumps(sent.raw, ensure_ascii=False).encode("utf-8")


def test_a_clock_that_lost_its_year_is_no_instant():
    for instant in ("1970-01-01T00:00:00Z", "0001-01-01T00:00:00+14:00", "2100-01-01T00:00:00Z"):
        assert read_record(WHOLE | {"observed_at": instant}).trouble.startswith("“observed_at” must be an instant")
