"""Order of a table's rows: None last whichever way, text without regard to case, ties always broken the same way."""

from collections.abc import Iterable
from operator import itemgetter
from typing import Any

from django.core.exceptions import FieldDoesNotExist
from django.db.models import F, Model, QuerySet
from django_tables2.data import TableData, TableListData, TableQuerysetData
from django_tables2.utils import Accessor, OrderBy, OrderByTuple

from apiary_ops.core.tables.cells import reader


def table_data(rows: QuerySet[Any] | Iterable[Any]) -> TableData:
    """The library's container for `rows`. A queryset that can no longer be put in order becomes a list."""
    if isinstance(rows, QuerySet) and not (rows.query.is_sliced or rows.query.combinator):
        return _Queryset(_unambiguous(rows))
    return _Rows(list(rows))


class _Rows(TableListData):
    data: list[Any]

    @property
    def model(self) -> type[Model] | None:
        """The model whose rows these are, for labels of choices."""
        first = next(iter(self.data), None)
        return type(first) if isinstance(first, Model) else None

    def order_by(self, aliases: OrderByTuple) -> None:
        for alias in reversed(aliases):
            column = self.table.columns[alias.bare].column
            for path in reversed(_paths(column)):
                self._sort(column, path, descending=path.is_descending != alias.is_descending)

    def _sort(self, column: Any, path: OrderBy, *, descending: bool) -> None:
        read = reader(Accessor(path.bare), next(iter(self.data), None), quiet=True)
        sort_key = getattr(column, "sort_key", lambda value: value)
        known, blank = [], []
        for record in self.data:
            value = read(record)
            if value is None:
                blank.append(record)
            else:
                known.append((sort_key(value), record))
        try:
            known.sort(key=itemgetter(0), reverse=descending)
        except TypeError:  # values of several kinds
            known.sort(key=lambda pair: str(pair[0]), reverse=descending)
        self.data = [record for _, record in known] + blank


class _Queryset(TableQuerysetData):
    data: QuerySet[Any]
    ordering = None  # the order the query came with stands until someone sorts

    def order_by(self, aliases: OrderByTuple) -> None:
        keys: list[Any] = []
        for alias in aliases:
            bound = self.table.columns[alias.bare]
            queryset, replaced = bound.order(self.data, alias.is_descending)
            if replaced:
                self.data = _unambiguous(queryset)
                return
            keys += [_key(self.data, path, path.is_descending != alias.is_descending) for path in _paths(bound.column)]
        if keys:
            ties = [_tie(descending=aliases[0].is_descending)] if _has_rows_of_a_model(self.data) else []
            self.data = self.data.order_by(*keys, *(ties or self.data.query.order_by))


def _paths(column: Any) -> OrderByTuple:
    return column.order_by or OrderByTuple((column.accessor,))


def _key(queryset: QuerySet[Any], path: OrderBy, descending: bool) -> Any:
    """NULLS LAST only where there can be a NULL: elsewhere it would keep the database from using an index."""
    name = path.bare.for_queryset()
    if not _may_be_null(queryset, name):
        return f"-{name}" if descending else name
    return F(name).desc(nulls_last=True) if descending else F(name).asc(nulls_last=True)


def _may_be_null(queryset: QuerySet[Any], name: str) -> bool:
    model: type[Model] = queryset.model
    for bit in name.split("__"):
        try:
            field = model._meta.pk if bit == "pk" else model._meta.get_field(bit)
        except FieldDoesNotExist:  # an annotation
            return True
        if getattr(field, "null", True):
            return True
        model = field.related_model or model
    return False


def _unambiguous(queryset: QuerySet[Any]) -> QuerySet[Any]:
    """`queryset` with the primary key as its last order, so that no row is on two pages or on none."""
    order = queryset.query.order_by or (queryset.model._meta.ordering if queryset.query.default_ordering else ())
    known = {"pk", "-pk", queryset.model._meta.pk.name, f"-{queryset.model._meta.pk.name}"}
    if known.intersection(key for key in order if isinstance(key, str)) or not _has_rows_of_a_model(queryset):
        return queryset
    descending = bool(order) and isinstance(order[0], str) and order[0].startswith("-")
    return queryset.order_by(*order, _tie(descending=descending))


def _tie(*, descending: bool) -> str:
    """Ties break in the direction of the sort, so one index serves both ways."""
    return "-pk" if descending else "pk"


def _has_rows_of_a_model(queryset: QuerySet[Any]) -> bool:
    """False after values(), where one more order key would change the groups."""
    return queryset.query.default_cols
