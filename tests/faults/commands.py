"""Several of the desk's commands in one process: `python -m tests.faults.commands JSON`, a list of lists of words.

For what a test has to make ready: starting Python and the desk takes longer than most commands. With
`--apart` each is a fork of the loaded process, given its words as from a command line, and what is
printed is JSON: the exit status and the words of each, in turn.
"""

import json
import os
import sys
import tempfile

import django


def main(commands: list[list[str]]) -> None:
    from django.core.management import call_command

    for command, *words in commands:
        if command == "python":
            exec(words[0], {})  # noqa: S102
        else:
            call_command(command, *words)


def apart(words: list[str]) -> tuple[int, str]:
    """(exit status, what it said) of one command in a process of its own."""
    from django.core.management import execute_from_command_line

    with tempfile.TemporaryFile("w+") as said:
        process = os.fork()
        if process == 0:
            os.dup2(said.fileno(), 1)
            os.dup2(said.fileno(), 2)
            status = 70
            try:
                if words[0] == "python":
                    exec(words[1], {})  # noqa: S102
                else:
                    execute_from_command_line(["manage.py", *words])
                status = 0
            except SystemExit as left:
                status = left.code or 0
            except BaseException:
                sys.excepthook(*sys.exc_info())
            finally:
                sys.stdout.flush()
                sys.stderr.flush()
                os._exit(status)
        _, how = os.waitpid(process, 0)
        said.seek(0)
        return os.waitstatus_to_exitcode(how), said.read()


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    if sys.argv[1] == "--apart":
        print(json.dumps([apart(words) for words in json.loads(sys.argv[2])]))
    else:
        main(json.loads(sys.argv[1]))
