"""The functions a table is compiled into: read a value, find its address, call a declared renderer."""

import re
from collections.abc import Callable
from html import unescape
from inspect import signature
from operator import attrgetter, itemgetter
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.urls import NoReverseMatch, reverse
from django.utils.html import escape, strip_tags
from django_tables2.utils import Accessor

Show = Callable[[Any, Any], str]  # a value and its record, as text
Read = Callable[[Any], Any]  # a record to one of its values

EASY_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
STAND_INS: dict[type, Any] = {int: 1234567890123456789, str: "Key-0_stand-in"}


def reader(accessor: Accessor, sample: Any, *, quiet: bool = False) -> Read:
    """A function that reads `accessor` from records shaped like `sample`; other shapes take the library's slower way.

    A missing related row reads as None. With `quiet` so does a missing attribute; else it raises ValueError.
    """
    fast = itemgetter(str(accessor)) if isinstance(sample, dict) else attrgetter(accessor.replace("__", "."))

    def read(record: Any) -> Any:
        try:
            value = fast(record)
        except ObjectDoesNotExist:
            return None
        except (AttributeError, LookupError, TypeError):
            return accessor.resolve(record, quiet=quiet)
        return accessor.resolve(record, quiet=quiet) if callable(value) else value

    return read


def adapted(function: Callable[..., Any], **fixed: Any) -> Callable[[Any, Any], Any]:
    """`function`, which takes any of value, record and the `fixed` names, as a function of value and record."""
    names = signature(function).parameters
    extras = {name: thing for name, thing in fixed.items() if name in names}
    if "value" in names and "record" in names:
        return lambda value, record: function(value=value, record=record, **extras)
    if "value" in names:
        return lambda value, record: function(value=value, **extras)
    if "record" in names:
        return lambda value, record: function(record=record, **extras)
    return lambda value, record: function(**extras)


def address(link: Any, sample: Any, **fixed: Any) -> Callable[[Any, Any], str | None]:
    """A function giving the escaped address of the library's `link`, or None where the record has no key."""
    route = link.reverse_args
    keys = route.get("args", ())
    named = type(route.get("viewname")) is str and len(route) == 2
    if named and len(keys) == 1 and isinstance(keys[0], Accessor):
        by_key = keyed_address(route["viewname"])
        read = reader(keys[0], sample)
        return lambda value, record: by_key(read(record))

    def composed(value: Any, record: Any) -> str | None:
        url = link.compose_url(value=value, record=record, **fixed)
        return None if url is None else escape(url)

    return composed


def keyed_address(url_name: str) -> Callable[[Any], str | None]:
    """A function giving the escaped address of a key; `reverse()` runs once per kind of key, not once per row.

    The address is cut at a stand-in key. The cut is used only if it agrees with `reverse()` on the first key,
    and only for keys of letters, digits, - and _, which every route that took the stand-in takes too.
    """
    frames: dict[type, tuple[str, str] | None] = {}

    def by_key(key: Any) -> str | None:
        if key is None or key == "":
            return None
        kind = type(key)
        if kind not in frames:
            frames[kind] = _frame(url_name, key)
        frame = frames[kind]
        if frame and EASY_KEY.fullmatch(text := str(key)):
            return f"{frame[0]}{text}{frame[1]}"
        return escape(reverse(url_name, args=[key]))

    return by_key


def _frame(url_name: str, key: Any) -> tuple[str, str] | None:
    """The escaped address before and after the key, if it can be cut safely."""
    stand_in = STAND_INS.get(type(key))
    try:
        before, _, after = reverse(url_name, args=[stand_in]).partition(str(stand_in))
    except NoReverseMatch:
        return None
    return (escape(before), escape(after)) if f"{before}{key}{after}" == reverse(url_name, args=[key]) else None


def plain_text(content: Any) -> str:
    """What a reader sees of rendered `content`: markup taken off, nothing else changed."""
    return unescape(strip_tags(content)) if hasattr(content, "__html__") else str(content)
