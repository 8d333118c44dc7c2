"""What may be sent: how much, how many, of which kind."""

import io
import re
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from config.envelope import MOST_BYTES
from sizing.models import Family, Revision


@pytest.fixture
def owner(built, db):
    client = Client(raise_request_exception=False)
    client.force_login(built[0]["owner"])
    return client


def packed(**members: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in members.items():
            book.writestr(name.replace("__", "/"), content)
    return out.getvalue()


ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + b"".join(
        b'<!ENTITY a%d "&a%s;&a%s;">' % (n, *[str(n - 1).encode()] * 2) for n in range(1, 30)
    )
    + b"]><x>&a29;</x>"
)
NONE, DAMAGED, TOO_MUCH = "is no .xlsx workbook", "is damaged or no", "unpacks to more than"
# (what is sent, what is said of it). Made where they are sent: packing two hundred megabytes takes a while.
FILES = {
    "words": (lambda: b"glass, opening\n1, 2\n", NONE),
    "a page": (lambda: b"<!doctype html><script>alert(1)</script>", NONE),
    "a picture": (lambda: b"\x89PNG\r\n\x1a\n" + b"0" * 100, NONE),
    "an empty archive": (packed, DAMAGED),
    "an archive of anything": (lambda: packed(readme=b"nothing"), DAMAGED),
    "entities": (
        lambda: packed(**{"[Content_Types].xml": ENTITIES, "xl__workbook.xml": ENTITIES}),
        DAMAGED,
    ),
    "unpacks to 200 MB": (
        lambda: packed(**{"[Content_Types].xml": b"", "xl__workbook.xml": b"0" * 200_000_000}),
        TOO_MUCH,
    ),
}


@pytest.mark.parametrize("what", FILES)
@pytest.mark.parametrize("page", ["size-table-upload", "schedules"])
def test_no_workbook(page, what, owner):
    """What is no sound workbook is refused with a sentence (422), and nothing is stored."""
    before = Revision.objects.count()
    content, sentence = FILES[what]
    said = {
        "workbook": SimpleUploadedFile("table.xlsx", content()),
        "family": Family.objects.get().code,
    }
    response = owner.post(reverse(page), said)
    assert response.status_code == 422
    (summary,) = re.findall(r'role="alert".*?</div>', response.text, re.DOTALL)
    assert sentence in summary
    assert Revision.objects.count() == before


@pytest.mark.parametrize("page", ["size-table-upload", "schedules"])
def test_name_is_no_path(page, owner):
    """A file's name is words, not a place: nothing is written outside."""
    said = {
        "workbook": SimpleUploadedFile("../../../etc/passwd.xlsx", b"x"),
        "family": "otter-liner",
    }
    response = owner.post(reverse(page), said)
    assert response.status_code == 422 and "../" not in response.content.decode()


@pytest.mark.parametrize("address", ["/tables/upload/", "/sign-in/", "/schedules/"])
def test_too_large(address, owner):
    """A body over the limit is refused before it is read, by its stated length, in plain words."""
    response = owner.post(
        address, b"x", content_type="text/plain", CONTENT_LENGTH=str(MOST_BYTES + 1)
    )
    assert (response.status_code, "larger than 5 MB" in response.content.decode()) == (413, True)


def test_too_many_fields(owner):
    """A form of forty openings is taken; one of a hundred thousand fields is not even looked at."""
    fields = {f"o{n}-label": "x" for n in range(4000)}
    assert owner.post("/counter/", fields).status_code in (200, 302, 422)
    assert owner.post("/counter/", {f"f{n}": "x" for n in range(100_000)}).status_code == 400


def test_too_much_text(owner):
    """More text than any form holds is refused, not kept in memory."""
    response = owner.post("/counter/", {"note": "x" * 3_000_000})
    assert (response.status_code, "larger than 2.5 MB" in response.content.decode()) == (413, True)


def test_too_many_files(owner):
    """One page takes one file."""
    files = {f"f{n}": SimpleUploadedFile(f"{n}.xlsx", b"x") for n in range(9)}
    assert owner.post("/schedules/", files).status_code == 400
