"""Real mail for browser tests: what arrives over SMTP, and the worker that sends it."""

import re
from email import message_from_bytes, policy

from django.core.management import call_command


class Letterbox:
    """Keeps what arrives over SMTP."""

    def __init__(self):
        self.letters = []

    async def handle_DATA(self, server, session, envelope):
        self.letters.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 kept"

    def to(self, address):
        return [letter for letter in self.letters if letter["To"] == address]


def text_of(letter):
    return letter.get_body(("plain",)).get_content()


def link_in(letter, path):
    """The address in a letter that leads to this path."""
    return re.search(rf"http\S+/{path}/\S+", text_of(letter)).group()


def work():
    """The worker, until nothing waits."""
    call_command("db_worker", batch=True, interval=0, verbosity=0)
