"""How people sign in besides their password, and where they are signed in. Written by `desk.sign_ins`."""

from __future__ import annotations

import hmac
from base64 import b32encode
from urllib.parse import quote

from django.conf import settings
from django.db import models
from django_otp.plugins.otp_totp.models import TOTPDevice


class CodeMaker(TOTPDevice):
    """Somebody's app that shows codes (RFC 6238). `confirmed` once a code of it was typed.

    The stored key is not the app's secret: that is made of it and the installation's own key, as the
    links are (see `quotes.links`), so the database alone makes no code.
    """

    class Meta:
        proxy = True

    def __str__(self) -> str:
        return f"codes of {self.user}"

    @property
    def bin_key(self) -> bytes:
        """The 160 bits that the app is given."""
        words = f"sign-in-code:{self.key}".encode()
        return hmac.digest(settings.SECRET_KEY.encode(), words, "sha256")[:20]

    def address(self, issuer: str) -> str:
        """What such an app reads from a QR code; its defaults are ours: SHA-1, six digits, 30 seconds."""
        label = quote(f"{issuer}:{self.user.get_username()}")
        secret = b32encode(self.bin_key).decode()
        return f"otpauth://totp/{label}?secret={secret}&issuer={quote(issuer)}"


class SignIn(models.Model):
    """One browser that somebody is signed in with, as long as its session lasts."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="sign_ins")
    session_key = models.CharField(max_length=40, unique=True, editable=False)
    # What the browser calls itself, in two words.
    browser = models.CharField(max_length=60, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    seen_at = models.DateTimeField()

    class Meta:
        ordering = ["-seen_at"]

    def __str__(self) -> str:
        return f"{self.user} with {self.browser}"
