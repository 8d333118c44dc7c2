"""Pictures of every page with the demo's data, to be looked at: `make pictures` writes var/pictures.

A picture holds one page four times: wide and light, wide and dark, on a phone, on paper. Nothing here is a
test. Names of addresses on the command line restrict it to those pages.
"""

import os
import socket
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

OUT = Path("var/pictures")
WIDE, PHONE = 1280, 390
MARGIN = dict.fromkeys(("top", "bottom", "left", "right"), "14mm")
CUT = 2400


def demo(folder: str) -> str:
    """A database of its own with the demo and a server of its own; the server's address."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    os.environ["DATABASE_URL"] = f"sqlite:///{folder}/pictures.sqlite3"
    os.environ["SITE_URL"] = f"http://127.0.0.1:{port}"
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
    # The browser's event loop runs in this thread; queries are still made one by one.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    import django

    django.setup()
    from django.core.management import call_command

    with Path(os.devnull).open("w") as silent:
        call_command("demo", stdout=silent)
    return f"127.0.0.1:{port}"


def served(address: str) -> subprocess.Popen:
    command = [sys.executable, "-m", "gunicorn", "config.wsgi", "--bind", address, "--threads", "4"]
    server = subprocess.Popen([*command, "--log-level", "warning"])
    host, _, port = address.partition(":")
    for _ in range(100):
        with socket.socket() as door:
            if door.connect_ex((host, int(port))) == 0:
                return server
        time.sleep(0.1)
    raise SystemExit(f"No server answers at {address}.")


def dearer(table):
    """The table with its slate parts four in the hundred dearer and one no longer made."""
    first, *rest = (
        replace(part, price=part.price * 104 / 100)
        if part.finish == "slate" and part.price
        else part
        for part in table.parts
    )
    return replace(table, parts=(replace(first, part_number=None, price=None), *rest))


def staff_person():
    """Somebody of the staff, whom the demo has not."""
    from django.contrib.auth.models import Group, User

    made = User.objects.create_user("staff", first_name="Sam", last_name="Rudd")
    made.groups.add(Group.objects.get_or_create(name="staff")[0])
    return made


def arguments() -> dict[str, list]:
    """{name of an address: what its pattern asks for}: things of the demo, the fullest of each kind."""
    from django.contrib.auth.models import User
    from django.db.models import Count

    from ordering.models import FactoryOrder, Notice, Order
    from quotes.desk.integrations import make_integration
    from quotes.desk.staff import invite
    from quotes.links import token_of
    from quotes.models import Customer, Enquiry, Issue, Opening, Request, Schedule, ScheduleLine
    from sizing import lookup, tables
    from sizing.models import Revision

    def fullest(rows, of):
        return rows.annotate(n=Count(of)).order_by("-n", "pk").first()

    revision = Revision.objects.get(family__code="otter-liner")
    waiting = tables.store_draft(dearer(lookup.table_of(revision)), "liner, spring.xlsx")
    order = Order.objects.get(pk=2)
    sent = FactoryOrder.objects.filter(lines__order=order).first()
    issue = Issue.objects.exclude(link=None).filter(acceptance=None).order_by("-pk").first()
    request = fullest(Request.objects, "openings")
    opening = Opening.objects.filter(specials=None, answer__outcome="special").first()
    enquiry = Enquiry.objects.filter(answered_at=None, closed_at=None).first()
    schedule = Schedule.objects.get()
    line = schedule.lines.filter(attention=ScheduleLine.Attention.UNREADABLE).first()
    customer = fullest(Customer.objects, "quotes")
    other = Customer.objects.exclude(pk=customer.pk).first()
    program = make_integration("web shop", "owner")[0]
    invited = invite("Bram Oakley", "bram@wherry.example", "staff", "Ida Fenn")
    code, notice = revision.family.code, Notice.objects.first()
    quote, one = issue.quote, User.objects.get(username="counter")
    plain = {
        "size-table": code, "measure": code, "measure-sent": code,
        "size-table-draft": waiting.pk, "factory": revision.factory_id, "counter-parts": revision.pk,
        "factory-calendar": revision.factory_id, "request": request.pk, "customer": customer.pk,
        "request-customer": request.pk, "lead-time": request.pk, "customer-data": customer.pk,
        "schedule": schedule.pk, "schedule-progress": schedule.pk, "quote": quote.pk,
        "special": enquiry.special_id, "special-flag": (opening or request.openings.first()).pk,
        "order": order.pk, "factory-order": sent.pk, "notice-called": notice and notice.pk,
        "program": program.pk, "staff-code-off": one.pk,
        "quote-public": token_of(issue.link.nonce), "factory-answer": token_of(enquiry.nonce),
        "order-public": token_of(order.nonce), "factory-public": token_of(sent.nonce),
        "join": token_of(invited.nonce),
    }  # fmt: skip
    # A form's own addresses, which lead to its page.
    plain |= dict.fromkeys(("quote-accept", "quote-change"), plain["quote-public"])
    return {
        **{name: [value] for name, value in plain.items()},
        "customer-double": [customer.pk, other.pk],
        "schedule-line": [schedule.pk, line.pk],
        "quote-issue": [quote.pk, issue.number],
        "notice-text": ["moved", "es"],
        "measure-in": ["es", code],
        "measure-sent-in": ["es", code],
    }


def whole(page, width: int, scheme: str = "light") -> Image.Image:
    """The page at this width from its top, as far down as CUT."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": 900})
    tall = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": width, "height": min(max(tall, 600), CUT)})
    return Image.open(BytesIO(page.screenshot()))


def on_paper(page, folder: str) -> Image.Image:
    """The first sheet of paper that the page prints on."""
    page.pdf(path=f"{folder}/paper.pdf", format="Letter", margin=MARGIN)
    command = [
        "pdftoppm",
        "-png",
        "-r",
        "60",
        "-singlefile",
        f"{folder}/paper.pdf",
        f"{folder}/paper",
    ]
    subprocess.run(command, check=True)
    return Image.open(BytesIO(Path(f"{folder}/paper.png").read_bytes()))


def picture(page, address: str, folder: str) -> Image.Image:
    """One page four times, beside each other: wide, on a phone, in the dark, on paper."""
    page.goto(address)
    views = (
        (whole(page, WIDE), 720), (whole(page, PHONE), 290), (whole(page, WIDE, "dark"), 340),
        (on_paper(page, folder), 300),
    )  # fmt: skip
    scaled = [
        view.convert("RGB").resize((w, view.height * w // view.width), Image.LANCZOS)
        for view, w in views
    ]
    wide = sum(view.width for view in scaled) + 10 * len(scaled)
    sheet = Image.new("RGB", (wide, min(1150, max(view.height for view in scaled))), "magenta")
    left = 0
    for view in scaled:
        sheet.paste(view, (left, 0))
        left += view.width + 10
    return sheet


def main(names: list[str]) -> None:
    OUT.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        address = demo(folder)
        from django.contrib.auth.models import User

        from tests.browser.conftest import ARGS, CHROMIUM
        from tests.browser.pages import pages, signed_in

        known, site = arguments(), f"http://{address}"
        staff_person()
        server = served(address)
        try:
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=str(CHROMIUM), args=ARGS)
                owner = User.objects.get(username="owner")
                wanted = [(name, owner, at) for name, at in pages(owner, known).items()]
                for one in User.objects.exclude(pk=owner.pk):
                    wanted += [(f"home-{one}", one, "/"), (f"refused-{one}", one, "/shop/")]
                wanted += [("signed-out", None, "/sign-in/"), ("not-there", owner, "/nothing/")]
                wanted += [
                    ("when-found", owner, "/when/?q=winslow"),
                    ("when-many", owner, "/when/?q=C-0"),
                ]
                for name, person, at in wanted:
                    if not names or name in names:
                        with signed_in(browser, site, person) as page:
                            picture(page, at, folder).save(OUT / f"{name.replace(':', '-')}.png")
                        print(f"{name}\t{at}")
        finally:
            server.terminate()


if __name__ == "__main__":
    main(sys.argv[1:])
