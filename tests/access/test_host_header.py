"""A forged Host header: refused, and never a part of a link that the desk gives out."""

import pytest
from django.test import Client

from ordering import sending
from ordering.models import Notice
from quotes.desk import posting
from quotes.models import Letter


@pytest.mark.parametrize(
    "host", ["evil.example", "testserver.evil.example", "a b", "testserver@evil.example"]
)
def test_refused(host, db):
    """A request for another host is answered 400."""
    assert Client().get("/sign-in/", HTTP_HOST=host).status_code == 400


def test_forwarded_host_does_not_count(built, db):
    """X-Forwarded-Host changes nothing: redirects stay within the desk."""
    page = Client().get("/counter/", HTTP_X_FORWARDED_HOST="evil.example")
    assert page.status_code == 302 and page.url.startswith("/sign-in/")


def test_links_in_mails(built, db, settings):
    """Links in mails begin with SITE_URL, whatever host was asked."""
    mails = [posting._message(letter) for letter in Letter.objects.all()]
    mails += [sending.message_of(notice) for notice in Notice.objects.exclude(to="")]
    bodies = [mail.body for mail in mails]
    links = [word for body in bodies for word in body.split() if "://" in word]
    assert links and all(link.startswith(settings.SITE_URL + "/") for link in links)
