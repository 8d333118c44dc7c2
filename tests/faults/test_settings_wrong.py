"""A setting that can't be read is told in one line that says how to write it; nothing runs on it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
WRONG = [
    ({"TIME_ZONE": "Penn"}, "TIME_ZONE “Penn” is not known: set it to a name such as America/"),
    ({"TIME_ZONE": "../x"}, "TIME_ZONE “../x” is not known"),
    ({"EMAIL_PORT": "ssl"}, "EMAIL_PORT is “ssl”: set it to a whole number such as 25"),
    ({"PROXIES": "-1"}, "PROXIES is “-1”: set it to a whole number"),
    ({"SITE_URL": "desk.theshop.com"}, "SITE_URL “desk.theshop.com” opens no page: write it like"),
    ({"EMAIL_USE_TLS": "1", "EMAIL_USE_SSL": "1"}, "are both set: set the one"),
]


def run(*arguments: str, **setting: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, text=True, capture_output=True,
        env=os.environ | {"DJANGO_SETTINGS_MODULE": "config.settings"} | setting,
    )  # fmt: skip


@pytest.mark.parametrize(("setting", "words"), WRONG)
def test_one_line(setting, words):
    done = run("manage.py", "check", **setting)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1 and words in done.stderr


def test_mail_over_tls_at_once():
    """A mail server on port 465 is spoken to in TLS from the first byte."""
    code = (
        "from django.core.mail.backends.smtp import EmailBackend as B; print(B().use_ssl, B().port)"
    )
    done = run("-c", code, EMAIL_HOST="mail.theshop.com", EMAIL_PORT="465", EMAIL_USE_SSL="1")
    assert done.stdout == "True 465\n"
