"""The shop's logo stands on quotes and on the pages behind links; what was uploaded is checked and drawn anew."""

import time
from base64 import b64decode
from io import BytesIO

import pytest
from django.contrib.auth.models import Group
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from quotes.desk.shop import keep_shop
from quotes.links import token_of
from quotes.logo import HIGH, MOST_BYTES, WIDE, LogoError, read_logo
from quotes.models import Shop
from tests.quotes import shop
from tests.quotes.conftest import clerk_named


def drawn(kind="PNG", size=(1600, 700), mode="RGB", **more) -> bytes:
    made = BytesIO()
    Image.new(mode, size, "navy").save(made, kind, **more)
    return made.getvalue()


@pytest.mark.parametrize(
    "how",
    [{}, {"kind": "JPEG"}, {"mode": "RGBA"}, {"size": (1, 1)}, {"size": (4000, 2)}],
    ids=["png", "jpeg", "with alpha", "a dot", "a line"],
)
def test_a_picture_is_made_small(how):
    """Whatever its size and kind, a PNG that no paper and no page has to make room for."""
    kept = Image.open(BytesIO(b64decode(read_logo(drawn(**how)))))
    assert kept.format == "PNG" and kept.width <= WIDE and kept.height <= HIGH


def test_nothing_else_of_the_file_is_kept():
    """What a camera or a program has written into the file goes: only the dots stay."""
    told = Image.Exif()
    told[0x010E] = "the desk of Mara Quill"
    assert b"Quill" in drawn("JPEG", exif=told)
    assert b"Quill" not in b64decode(read_logo(drawn("JPEG", exif=told)))


def layered(times: int) -> bytes:
    """A large picture of which the last layer comes so often more: a few bytes each, all dots gone through."""
    made = drawn("JPEG", size=(6000, 6000), progressive=True)
    return made[:-2] + made[made.rindex(b"\xff\xda") : -2] * times + made[-2:]


# Drawn when they are asked for: each of a run's processes reads this file, and few draw them.
NO_PICTURES = {
    "empty": lambda: b"",
    "svg": lambda: b"<svg onload='x'/>",
    "gif": lambda: drawn("GIF"),
    "cut off": lambda: drawn()[:90],
    "damaged": lambda: b"\x89PNG\r\n\x1a\n" + b"0" * 99,
    "unpacks large": lambda: drawn(size=(9000, 9000)),
    "a thousand layers": lambda: layered(1000),
    "too large": lambda: b"0" * (MOST_BYTES + 1),
}


@pytest.mark.parametrize("what", NO_PICTURES)
def test_what_is_no_picture_is_refused(what):
    """One sentence that says what to send instead."""
    content = NO_PICTURES[what]()
    began = time.process_time()
    with pytest.raises(LogoError, match=r"send a .+\.$"):
        read_logo(content)
    assert time.process_time() - began < 1


def test_a_picture_that_comes_in_layers_is_taken():
    """As programs for the web write them: the whole of it first, then finer and finer."""
    assert read_logo(drawn("JPEG", progressive=True))


@pytest.mark.django_db
def test_from_the_owners_page_to_the_customers(client):
    """Uploaded once: on the quote's page and its paper, until the owner takes it off."""
    shop.set_up()
    keep_shop({"name": "Tarnbrook"})
    token = token_of(shop.issued_quote().link.nonce)
    page, paper = (reverse(name, args=[token]) for name in ("quote-public", "quote-public-pdf"))
    ida = clerk_named("ida")
    ida.groups.add(Group.objects.create(name="owner"))
    client.force_login(ida)

    def sent(**said):
        return client.post(reverse("shop-logo"), said, follow=True).text

    def pictures():
        return len(PdfReader(BytesIO(client.get(paper).content)).pages[0].images)

    assert "data:image/png" not in client.get(page).text and pictures() == 0
    assert "Choose a picture first" in sent()
    assert "no picture that can be read" in sent(logo=SimpleUploadedFile("a.png", b"<svg/>"))
    assert Shop.objects.get().logo == ""
    assert "The logo is kept" in sent(logo=SimpleUploadedFile("a.png", drawn()))
    assert "data:image/png" in client.get(page).text and pictures() == 1
    sent(none="yes")
    assert "data:image/png" not in client.get(page).text and pictures() == 0
