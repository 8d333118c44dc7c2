"""manage.py demo: an invented shop to look round in, and the main job done five times."""

from __future__ import annotations

import json
import secrets
import textwrap
import uuid
from io import StringIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.models import Group, User
from django.core.management import call_command
from django.core.management.base import BaseCommand

from fixtures import orders, quotes, specials
from quotes.answer_sheet import AnswerSheet
from quotes.answering import answer_opening
from quotes.desk.requests import StaleError, save_request
from quotes.desk.shop import keep_shop
from quotes.lists.requests import said_opening
from quotes.models import Opening, Request, Shop
from quotes.said import SaidOpening, SaidRequest
from sizing.management.refused import Refused
from sizing.models import Factory, Family
from sizing.tables import set_factory

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
PEOPLE = {"counter": "Mira Voss", "manager": "Oswin Tate", "owner": "Ida Fenn"}
# A request of the demo is known again by its title, so a second run adds nothing.
NAMES = uuid.uuid5(uuid.NAMESPACE_URL, "sashdesk:demo")


class Command(BaseCommand):
    help = "Load the demo scenario, store its worked requests and print what the desk says."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument(
            "--without-people",
            action="store_true",
            help="add the scenario to a shop that is set up, and make no users",
        )

    def handle(self, *args: Any, without_people: bool = False, **options: Any) -> None:
        if not without_people:
            call_command("migrate", verbosity=0)
        scenario = json.loads((FIXTURES / "scenario.json").read_text())
        # An owner may have called themselves so.
        shop = Shop.objects.exclude(name=scenario["supplier"]["name"]).first()
        strangers = User.objects.exclude(username__in=PEOPLE).exists()
        if (shop or strangers) and not without_people:
            raise Refused(
                f"This database is in use{f' by {shop.name}' if shop else ''}: give the demo one of its own, "
                "such as DATABASE_URL=sqlite:///demo.sqlite3."
            )
        self._load_tables(scenario)
        for number, worked in enumerate(json.loads((FIXTURES / "requests.json").read_text()), 1):
            self._print(number, worked["title"], store(worked))
        if not Shop.objects.exists():
            keep_shop(scenario["supplier"])
        self.stdout.write("")
        for line in (*quotes.load(), *specials.load(), *orders.load()):
            self.stdout.write(line)
        if not without_people:
            self._people()

    def _load_tables(self, scenario: dict[str, Any]) -> None:
        present = set(Family.objects.values_list("code", flat=True))
        for name in scenario["families"]:
            if Path(name).stem not in present:
                call_command("import_table", str(FIXTURES / name), publish=True, stdout=StringIO())
                self.stdout.write(f"Size table {Path(name).stem} is loaded and in force.")
        for facts in scenario["factories"]:
            factory = Factory.objects.get(name=facts["name"])
            if not factory.email:
                set_factory(factory, **{k: v for k, v in facts.items() if k != "name"})

    def _print(self, number: int, title: str, request: Request) -> None:
        self.stdout.write(f"\n{number}. {title}  (request {request.pk}, {request.caller})")
        for opening in request.openings.select_related("family", "revision__family"):
            sheet = sheet_of_stored(opening)
            said = ", ".join(f"{k.replace('_', ' ')} {v}" for k, v in opening.said.items())
            asked = f"{opening.quantity} x {opening.family.name}, {opening.finish or 'no finish'}"
            self._line("caller", f"{said}; {asked}")
            self._line("desk", told(sheet))
            self._line("sure", sheet.sure)

    def _line(self, name: str, words: str) -> None:
        start = f"   {name:<8}"
        self.stdout.write(
            textwrap.fill(words, 100, initial_indent=start, subsequent_indent=" " * len(start))
        )

    def _people(self) -> None:
        """The demo's users. Their passwords are made anew at each run, so none is ever well known."""
        self.stdout.write("\nSign in as:")
        for role, name in PEOPLE.items():
            user, _ = User.objects.get_or_create(username=role)
            user.first_name, user.last_name = name.split()
            password = secrets.token_urlsafe(9)
            user.set_password(password)
            user.save()
            user.groups.set([Group.objects.get_or_create(name=role)[0]])
            self.stdout.write(f"   {role:<8} {password}")


def told(sheet: AnswerSheet) -> str:
    """The answer with its headline, unless the answer's own first word says it: "Ask the caller. Ask for …"."""
    begun = sheet.text.startswith(sheet.headline.split()[0])
    return sheet.text if sheet.part or begun else f"{sheet.headline}. {sheet.text}"


def store(worked: dict[str, Any]) -> Request:
    """Store a worked request as the counter page does; one that somebody changed stays changed."""
    opening = SaidOpening(**worked["opening"])
    head = {name: worked.get(name, "") for name in ("caller", "phone", "email", "note")}
    said = SaidRequest(**head, openings=(opening,))
    try:
        return save_request(said, by="counter", page=uuid.uuid5(NAMES, worked["title"]))
    except StaleError as stale:
        return stale.stored


def sheet_of_stored(opening: Opening) -> AnswerSheet:
    return AnswerSheet(answer_opening(said_opening(opening), opening.revision))
