"""Read openings and contacts out of a file of messages."""

from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from quotes.messages import LONGEST, Message, read_message
from sizing import lookup
from sizing.jsonlines import LinesError, read_lines, write_lines
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused
from sizing.table import SizeTable


class Command(DeskCommand):
    help = "Read openings and contact from messages (JSON lines), with what is not sure."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--family", required=True, help="code of the family")
        parser.add_argument("--messages", required=True, help="JSON lines, or - for standard input")
        parser.add_argument("--answers", required=True, help="JSON lines, or - for standard output")

    def handle(self, *args: Any, family: str, messages: str, answers: str, **options: Any) -> None:
        try:
            table = lookup.table_of(lookup.in_force(family))
            write_lines(answers, list(_answers(messages, table)))
        except (LinesError, lookup.NoTableError) as problem:
            raise Refused(str(problem)) from None


def _answers(file: str, table: SizeTable) -> Iterator[dict[str, object]]:
    """One answer for each message, in order. Raises LinesError at a line that is no message."""
    for at, line in enumerate(read_lines(file), 1):
        text = line.get("text")
        where = f"{'standard input' if file == '-' else file}, message {at}"
        if not isinstance(text, str):
            raise LinesError(f'{where} has no text: give each line as {{"id": …, "text": "…"}}.')
        if len(text) > LONGEST:
            raise LinesError(
                f"{where} has {len(text):,} characters and up to {LONGEST:,} are read: take out what is not "
                "about windows, or give it as two messages."
            )
        yield {"id": line.get("id"), **_answer(read_message(text, table))}


def _answer(message: Message) -> dict[str, object]:
    contact = message.contact
    return {
        "openings": [
            {
                "measures": {code: float(value) for code, value in opening.measures.items()},
                "quantity": opening.quantity,
                "finish": opening.finish,
                "words": opening.words,
            }
            for opening in message.openings
        ],
        "contact": {"name": contact.name, "phone": contact.phone, "email": contact.email},
        "unsure": list(message.unsure),
    }
