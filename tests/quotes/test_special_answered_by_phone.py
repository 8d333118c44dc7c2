"""A factory that answers by phone or mail and not by its link: the desk types it on the factory's own page."""

import pytest
from django.conf import settings
from django.urls import reverse

from quotes.desk.specials import close
from quotes.links import factory_address
from quotes.models import Special
from tests.quotes import specials
from tests.quotes.test_enquiry_answered import typed

pytestmark = pytest.mark.usefixtures("built")
HINT = "What they say by phone or in a mail is typed there"


def build():
    specials.set_up()


def page_of(client, special):
    return client.get(reverse("special", args=[special.pk])).text


def test_the_special_leads_to_the_factorys_page():
    """The manager types what was said on the phone, and the special waits for its price."""
    enquiry, manager = specials.asked(), specials.manager()
    link = factory_address(enquiry)
    page = page_of(manager, enquiry.special)
    assert f'href="{link}"' in page and HINT in page
    manager.post(link.removeprefix(settings.SITE_URL), typed(name="Jo Marsh, by phone"))
    special = Special.objects.get()
    assert special.state == "answered"
    assert "by <bdi>Jo Marsh, by phone" in page_of(manager, special)


def test_no_page_where_nothing_can_be_answered(built):
    """Neither before the factory is asked nor after the special is put aside."""
    enquiry, manager = specials.asked(), specials.manager()
    special = close(enquiry.special_id, by="ann", why="bought elsewhere")
    assert HINT not in page_of(manager, special)
