"""A clerk in a process of its own, for races and sudden deaths on either engine: `python -m tests.postgres.clerk`.

It does what it reads, one act a line, inside one transaction from "begin" to "commit", and answers each with a line.
"""

import sys
from datetime import date

import django

DAY = date(2027, 1, 9)


def main() -> None:
    django.setup()
    from django.db import transaction

    from apiary_ops.kernel.refusals import RuleBroken

    say("ready")
    for line in sys.stdin:
        if line.strip() != "begin":
            continue
        try:
            with transaction.atomic():
                say("begun")
                for act in iter(sys.stdin.readline, "commit\n"):
                    say(carry_out(*act.split()))
            say("committed")
        except RuleBroken as refusal:
            say(f"refused: {refusal}")


def carry_out(act: str, *words: str) -> str:
    from apiary_ops.books import services
    from apiary_ops.books.models import Entry, Line, Period, Seal
    from apiary_ops.books.services import Posting
    from apiary_ops.business.models import Season
    from apiary_ops.people.models import User

    if act == "number":
        year, number = services.next_number(series=words[0], day=DAY)
        return f"number {year}-{number}"
    if act == "lock":
        services.lock_period(period_id=Period.objects.get().pk, actor=User.objects.first())
        return "locked"
    if act == "count":
        return f"{Entry.objects.count()} entries, {Line.objects.count()} lines, {Seal.objects.count()} seals"
    services.post_entry(
        source=f"clerk:{words[0]}",
        purpose="entry",
        posted_on=DAY,
        season_id=Season.objects.get().pk,
        memo="",
        postings=[Posting("bank", 100), Posting("owner-capital", -100)],
        actor=None,
    )
    return "posted"


def say(words: str) -> None:
    print(words, flush=True)


if __name__ == "__main__":
    main()
