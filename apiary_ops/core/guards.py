"""Guards: database triggers that refuse what no code path may do, declared once and installed on both engines.

An app declares its guards in `guards.py` and registers them in `apps.py ready()`:

    core.guards.register(
        append_only("books_line", "A posted line never changes."),
        refuse("books_line", "insert", "EXISTS (SELECT 1 ...)", "A sealed entry takes no more lines."),
        keep_total(...), state_path(...),
    )

Conditions are SQL that both engines read the same way, with NEW and OLD. A refusal surfaces as `IntegrityError`.
SQLite loses a table's triggers when a migration remakes it, and chokes on triggers that name a remade table, so
guards are lifted before migrating and restored after; `installed()` lets a test compare with what is declared.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.base.base import BaseDatabaseWrapper

PREFIX = "guard_"


@dataclass(frozen=True, slots=True)
class Guard:
    """One trigger: on `table`, at `moment` ("before"/"after") of `event`, when `condition` holds, do `act`.

    `act` is either a refusal message (`refuses=True`) or SQL statements ending in a semicolon.
    """

    name: str
    table: str
    moment: str
    event: str
    condition: str
    act: str
    refuses: bool = False

    def create_statements(self, vendor: str) -> list[str]:
        trigger = PREFIX + self.name
        if vendor == "sqlite":
            body = f"SELECT RAISE(ABORT, '{_quoted(self.act)}');" if self.refuses else self.act
            return [
                f"CREATE TRIGGER {trigger} {self.moment} {self.event} ON {self.table} FOR EACH ROW "
                f"WHEN {self.condition} BEGIN {body} END"
            ]
        body = (
            f"RAISE EXCEPTION USING MESSAGE = '{_quoted(self.act)}', ERRCODE = '23514';" if self.refuses else self.act
        )
        # A BEFORE trigger must hand the row on: OLD for a delete, NEW otherwise.
        row = "OLD" if self.event.lower() == "delete" else "NEW"
        return [
            f"CREATE OR REPLACE FUNCTION {trigger}() RETURNS trigger LANGUAGE plpgsql AS $guard$ "
            f"BEGIN IF {self.condition} THEN {body} END IF; RETURN {row}; END $guard$",
            f"CREATE TRIGGER {trigger} {self.moment} {self.event} ON {self.table} FOR EACH ROW "
            f"EXECUTE FUNCTION {trigger}()",
        ]


def _quoted(text: str) -> str:
    return text.replace("'", "''")


def refuse(table: str, event: str, condition: str, message: str, *, name: str, moment: str = "before") -> Guard:
    """A guard that refuses `event` ("insert", "update", "delete", "update of column") when `condition` holds."""
    return Guard(name, table, moment, event, condition, message, refuses=True)


def append_only(table: str, message: str) -> list[Guard]:
    """Rows of `table` are neither changed nor deleted."""
    return [refuse(table, event, "true", message, name=f"{table}_no_{event}") for event in ("update", "delete")]


def state_path(table: str, column: str, paths: dict[str, tuple[str, ...]], noun: str) -> Guard:
    """`column` moves only along `paths` (state -> states it may become); the same dict draws the diagram."""
    allowed = " OR ".join(
        f"(OLD.{column} = '{start}' AND NEW.{column} IN ({', '.join(repr(end) for end in ends)}))"
        for start, ends in paths.items()
        if ends
    )
    condition = f"OLD.{column} <> NEW.{column} AND NOT ({allowed})"
    message = f"A {noun} cannot move between these states."
    return refuse(table, f"update of {column}", condition, message, name=f"{table}_{column}_path")


def keep_total(*, child: str, parent: str, link: str, total: str, amount: str) -> list[Guard]:
    """Keep `parent.total` equal to the sum of `amount` over its child rows; a CHECK on the parent then refuses excess.

    `amount` is an SQL expression over a child row written with `{row}`, e.g. "CASE WHEN {row}.kind = 'kept' THEN
    {row}.cents ELSE 0 END". Rows whose `link` is null count nowhere. The update of the parent takes its lock. The
    total cannot be set by hand: it may only move towards what its rows come to.
    """

    def value(row: str) -> str:
        return f"({amount.format(row=row)})"

    def move(change: str, row: str, condition: str = "") -> str:
        return f"UPDATE {parent} SET {total} = {total} {change} WHERE id = {row}.{link}{condition};"

    name = f"{parent}_{total}_from_{child}"
    same, other = (f" AND COALESCE(NEW.{link}, 0) {sign} COALESCE(OLD.{link}, 0)" for sign in ("=", "<>"))
    moved = (
        move(f"- {value('OLD')} + {value('NEW')}", "NEW", same)
        + move(f"- {value('OLD')}", "OLD", other)
        + move(f"+ {value('NEW')}", "NEW", other)
    )
    changed = f"COALESCE(NEW.{link}, 0) <> COALESCE(OLD.{link}, 0) OR {value('NEW')} <> {value('OLD')}"
    counted = f"(SELECT COALESCE(SUM({amount.format(row='one')}), 0) FROM {child} one WHERE one.{link} = NEW.id)"
    return [
        Guard(f"{name}_i", child, "after", "insert", f"NEW.{link} IS NOT NULL", move(f"+ {value('NEW')}", "NEW")),
        Guard(f"{name}_d", child, "after", "delete", f"OLD.{link} IS NOT NULL", move(f"- {value('OLD')}", "OLD")),
        Guard(f"{name}_u", child, "after", "update", changed, moved),
        only_towards(parent, total, counted),
    ]


def only_towards(table: str, total: str, counted: str) -> Guard:
    """`total` may only move towards `counted`, never past it (rows of one statement are counted one after another)."""
    up = f"NEW.{total} > OLD.{total} AND NEW.{total} > {counted}"
    down = f"NEW.{total} < OLD.{total} AND NEW.{total} < {counted}"
    message = f"{total} is counted from its rows and cannot be set by hand."
    return refuse(table, f"update of {total}", f"({up}) OR ({down})", message, name=f"{table}_{total}_counted")


_declared: dict[str, Guard] = {}


def register(*guards: Guard | Iterable[Guard]) -> None:
    """Declare guards (called from `apps.py ready()`); a name declared twice must mean the same guard."""
    for item in guards:
        for guard in [item] if isinstance(item, Guard) else item:
            if _declared.get(guard.name, guard) != guard:
                raise ValueError(f"Two different guards are called {guard.name}.")
            if len(PREFIX + guard.name) > 63:
                raise ValueError(f"The guard name {guard.name} is longer than PostgreSQL keeps.")
            _declared[guard.name] = guard


def declared() -> dict[str, Guard]:
    return dict(_declared)


def installed(connection: BaseDatabaseWrapper) -> set[str]:
    """Names of the guards the database holds now."""
    query = (
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if connection.vendor == "sqlite"
        else "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    )
    with connection.cursor() as cursor:
        cursor.execute(query)
        names = [row[0] for row in cursor.fetchall()]
    return {name.removeprefix(PREFIX) for name in names if name.startswith(PREFIX)}


def lift(connection: BaseDatabaseWrapper) -> None:
    """Take every guard off, whether still declared or not."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            for name in installed(connection):
                cursor.execute(f"DROP TRIGGER IF EXISTS {PREFIX}{name}")
            return
        cursor.execute("SELECT proname FROM pg_proc WHERE proname LIKE 'guard\\_%%'")
        for (function,) in cursor.fetchall():
            cursor.execute(f"DROP FUNCTION IF EXISTS {function}() CASCADE")


def restore(connection: BaseDatabaseWrapper) -> None:
    """Install every declared guard whose tables exist (some may not, half-way through migrating)."""
    lift(connection)
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for guard in _declared.values():
            if guard.table in tables:
                for statement in guard.create_statements(connection.vendor):
                    cursor.execute(statement)


def lift_before_migrating(using: str = DEFAULT_DB_ALIAS, **_: Any) -> None:
    lift(connections[using])


def restore_after_migrating(using: str = DEFAULT_DB_ALIAS, **_: Any) -> None:
    restore(connections[using])
