"""When will it ship? For orders of the past that are open, and for parts to be ordered."""

from datetime import date

from ordering.answers import answer_lines
from ordering.lists.when_now import when_on
from sizing.jsonlines import LinesError, read_lines, write_lines
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused


class Command(DeskCommand):
    help = "Answer questions (JSON lines) with the earliest, likely and latest day and why."

    def add_arguments(self, parser):
        parser.add_argument("--requests", required=True, help="JSON lines, or - for standard input")
        parser.add_argument("--answers", required=True, help="JSON lines, or - for standard output")
        parser.add_argument(
            "--as-of", required=True, metavar="YYYY-MM-DD", help="what was known then"
        )
        parser.add_argument("--level", default="0.8", help="share of windows that hold (0.8)")

    def handle(self, *, requests, answers, as_of, level, **options):
        when = when_on(_day(as_of), _level(level))
        try:
            write_lines(answers, answer_lines(read_lines(requests), when))
        except LinesError as problem:
            raise Refused(str(problem)) from None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(f"--as-of {text} is no date; type it as YYYY-MM-DD.") from None


def _level(text: str) -> float:
    try:
        level = float(text)
    except ValueError:
        level = 0.0
    if not 0.05 <= level <= 0.98:
        raise Refused(f"--level {text} is no share between 0.05 and 0.98; type 0.8 for 80 %.")
    return level
