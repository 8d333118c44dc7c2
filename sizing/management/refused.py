"""How a command refuses bad input: one line on standard error, exit status 2."""

from django.core.management.base import CommandError


class Refused(CommandError):
    """Says what, where and how to mend it; Django prints it on one line and leaves with status 2."""

    def __init__(self, words: str) -> None:
        super().__init__(" ".join(words.split()), returncode=2)
