"""The size-table pages as tests open them."""

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse


def upload(client, content, name="wren.xlsx", follow=True):
    file = SimpleUploadedFile(name, content)
    return client.post(reverse("size-table-upload"), {"workbook": file}, follow=follow)


def text(response):
    return " ".join(response.content.decode().split())
