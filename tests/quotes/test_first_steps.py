"""What a shop still lacks before its first quote is told on one page, and mail that is not sent is not hidden."""

import re

import pytest
from django.utils import timezone
from moneyed import Money

from quotes.desk.staff import invite
from quotes.lists.first_steps import first_steps
from quotes.models import FreightStep, Shop, TaxRate
from sizing.models import Factory
from tests.quotes.first_run import TYPED
from tests.quotes.shop import load_liner

pytestmark = pytest.mark.django_db
FILES = "django.core.mail.backends.filebased.EmailBackend"
SMTP = "django.core.mail.backends.smtp.EmailBackend"


@pytest.fixture
def owner(client):
    client.post("/set-up/", TYPED)
    return client


@pytest.fixture
def bare(settings):
    """Started with no setting at all."""
    settings.EMAIL_BACKEND, settings.DEFAULT_FROM_EMAIL = FILES, "desk@sashdesk.example"
    settings.SITE_URL, settings.TIME_ZONE = "http://127.0.0.1:8000", "UTC"


def stands(name):
    return next(step for step in first_steps() if step.name == name)


def test_a_fresh_shop_lacks_all(owner, bare):
    """Each step is named, says what is missing, and where it is done."""
    page = owner.get("/set-up/begin/").content.decode()
    assert page.count("To do:") == 7 and page.count("Done:") == 1, "who the shop is was just said"
    for words in ("None is in force", "EMAIL_HOST and DEFAULT_FROM_EMAIL",
                  "set SITE_URL to", "in UTC", "set TIME_ZONE", "sales tax (quotes say"):  # fmt: skip
        assert words in page


def test_what_is_seen_to_is_done(owner, settings):
    """With tables, a factory's address, prices, settings and a second person nothing is left to do."""
    load_liner()
    Factory.objects.update(email="orders@otterhollow.example")
    today = timezone.localdate()
    FreightStep.objects.create(carrier="cart", in_force_from=today, price=Money(9, "USD"))
    TaxRate.objects.create(name="state", country="US", percent=6, in_force_from=today)
    settings.EMAIL_BACKEND, settings.EMAIL_HOST = SMTP, "mail.wherry.test"
    settings.DEFAULT_FROM_EMAIL, settings.SITE_URL = "desk@wherry.test", "https://desk.wherry.test"
    settings.TIME_ZONE = "America/New_York"
    assert [step.name for step in first_steps() if not step.done] == ["People at your desk"]
    assert stands("Mail").stands == "Sent by mail.wherry.test, from desk@wherry.test."
    invite("Bram Oakley", "bram@wherry.test", "counter", "ida")
    assert stands("People at your desk").stands == "Can sign in: 1; invited: 1."


def test_a_shop_that_nobody_can_reach_is_told(owner):
    """Quotes and mails ask customers to call or to write: without phone and e-mail they cannot."""
    assert stands("The shop").done
    Shop.objects.update(phone="", email="")
    assert not stands("The shop").done
    assert stands("The shop").stands.startswith("What goes out has no phone and no e-mail address;")


def test_a_factory_without_address_is_named(owner):
    load_liner()
    Factory.objects.update(email="")
    step = stands("Factories")
    assert not step.done and "Otter Hollow Millwork" in step.stands
    assert owner.get(step.url).status_code == 200


def test_mail_from_nobodys_address(settings):
    """A mail server alone is not enough: the address that mail comes from has to be one of the shop's."""
    settings.EMAIL_BACKEND, settings.DEFAULT_FROM_EMAIL = SMTP, "desk@sashdesk.example"
    assert not stands("Mail").done and "set DEFAULT_FROM_EMAIL" in stands("Mail").stands


@pytest.mark.parametrize("address", ["/", "/shop/people/"])
@pytest.mark.parametrize("backend", [FILES, SMTP])
def test_mail_in_files_is_not_called_sent(owner, settings, address, backend):
    """Where mail goes into files, the first page and that of invitations say so and lead to what is missing."""
    settings.EMAIL_BACKEND = backend
    page = owner.get(address).content.decode()
    told = re.search(r"No mail is sent yet.*?/set-up/begin/", page, re.DOTALL)
    assert bool(told) == (backend == FILES)
