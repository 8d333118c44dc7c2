"""Several of the desk's commands in one process: `python -m tests.faults.commands JSON`, a list of lists of words.

For what a test has to make ready: starting Python and the desk takes longer than most commands. The
command that is looked at is started by itself.
"""

import json
import os
import sys

import django


def main(commands: list[list[str]]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from django.core.management import call_command

    for command, *words in commands:
        if command == "python":
            exec(words[0], {})  # noqa: S102
        else:
            call_command(command, *words)


if __name__ == "__main__":
    main(json.loads(sys.argv[1]))
