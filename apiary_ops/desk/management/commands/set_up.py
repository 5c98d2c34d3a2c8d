"""The first rows of a new desk: the business, its chart of accounts, the rules it starts from, and its owner."""

import getpass
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from apiary_ops.business.models import Business
from apiary_ops.core import clock
from apiary_ops.desk.services import set_up
from apiary_ops.kernel.refusals import RuleBroken


class Command(BaseCommand):
    help = "Set up a new desk: the business, its currency and time zone, the first season and the owner's sign-in."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--name", required=True, help="business name")
        parser.add_argument("--address", required=True, help="address as printed on papers")
        parser.add_argument("--currency", required=True, help="ISO 4217 code, such as CAD; it cannot change later")
        parser.add_argument("--time-zone", required=True, help="such as America/Halifax")
        parser.add_argument("--owner", required=True, help="the owner's sign-in name")
        parser.add_argument("--owner-name", required=True, help="the owner's name")
        parser.add_argument("--season", type=int, default=None, help="the spring you work towards (default: the next)")

    def handle(self, **options: Any) -> None:
        if Business.objects.exists():
            raise CommandError("This desk is already set up. Change it under Settings.")
        today = clock.today()
        year = options["season"] or (today.year + 1 if today >= date(today.year, 9, 1) else today.year)
        password = asked_password()
        try:
            set_up(
                name=options["name"],
                address=options["address"],
                currency=options["currency"],
                time_zone=options["time_zone"],
                owner_username=options["owner"],
                owner_name=options["owner_name"],
                owner_password=password,
                season_year=year,
            )
        except ValidationError as trouble:
            said = [f"{field}: {' '.join(texts)}" for field, texts in trouble.message_dict.items()]
            raise CommandError("; ".join(said)) from trouble
        except RuleBroken as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"{options['name']} is set up for the spring of {year}. Sign in as {options['owner']}.")


def asked_password() -> str:
    """The owner's password, typed twice alike."""
    try:
        password = getpass.getpass("Password for the owner (12 characters or more): ")
        again = getpass.getpass("The same password again: ")
    except EOFError:
        raise CommandError("The password is asked for here: run this command in a terminal.") from None
    if password != again:
        raise CommandError("The two passwords differ. Nothing is set up; run the command again.")
    return password
