"""Find the one right part for each opening of a file."""

from sizing import lookup
from sizing.jsonlines import LinesError, read_lines, write_lines
from sizing.management.desk_command import DeskCommand
from sizing.management.refused import Refused
from sizing.resolver.lines import answer_lines


class Command(DeskCommand):
    help = "Answer openings (JSON lines) with a part, a question or the reason for a special quote."

    def add_arguments(self, parser):
        parser.add_argument("--family", required=True, help="code of the family")
        parser.add_argument("--requests", required=True, help="JSON lines, or - for standard input")
        parser.add_argument("--answers", required=True, help="JSON lines, or - for standard output")

    def handle(self, *, family, requests, answers, **options):
        try:
            compiled = lookup.compiled(lookup.in_force(family))
            write_lines(answers, answer_lines(compiled, list(read_lines(requests))))
        except (LinesError, lookup.NoTableError) as problem:
            raise Refused(str(problem)) from None
