"""`import_history` killed with -9 between two of its blocks: `python -m tests.faults.killed_import FOLDER`.

DATABASE_URL names a desk with the family WS, a past of its own and a stored fit. Prints as JSON what is known of the past at
once, as though two minutes had gone by, and after a round of the worker.
"""

import json
import os
import signal
import sys
import time
from datetime import timedelta
from pathlib import Path

import django


def begun(file: Path) -> int:
    """An import of the file in a process of its own, in blocks of a few; its process."""
    from django.db import connections

    connections.close_all()
    process = os.fork()
    if process == 0:
        try:
            from django.core.management import call_command

            from ordering import past

            past.BLOCK = 5
            call_command("import_history", str(file))
        finally:
            os._exit(0)
    return process


def main(folder: Path) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    import time_machine
    from django.core.management import call_command
    from django.utils import timezone

    from ordering.fits import learned_of, stamp_of
    from ordering.models import LeadTimeFit, PastOrder
    from sizing.models import Factory, Family, PublishedWindow

    family = Family.objects.get()
    factory = Factory.objects.get()
    head = "reference,family,part_number,quantity,ordered_on,shipped_on,promised_on\n"
    row = "{}-{},{},WS-1,1,2026-0{}-1{},2026-0{}-2{},\n"
    few, many = folder / "few.csv", folder / "many.csv"
    for file, letter, count in ((few, "A", 40), (many, "B", 20_000)):
        said = [(n, family.code, 1 + n % 4, n % 7, 3 + n % 4, n % 7) for n in range(count)]
        file.write_text(head + "".join(row.format(letter, *one) for one in said))
    call_command("import_history", str(few), verbosity=0, stdout=sys.stderr)
    stored, published = stamp_of(factory), PublishedWindow.objects.get(part_number="").published_at

    child = begun(many)
    while PastOrder.objects.count() <= 60:
        time.sleep(0.01)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    told = {"stored": PastOrder.objects.count(), "same at once": stamp_of(factory) == stored}
    with time_machine.travel(timezone.now() + timedelta(minutes=2)):
        today = timezone.localdate()
        told["same later"] = stamp_of(factory) == stored
        told["learned later"] = int(learned_of(factory, today).shipped.count.sum())
        call_command("work", once=True, stdout=sys.stderr)
        fits = LeadTimeFit.objects.filter(stamp=stamp_of(factory), as_of=today)
        told["kept"] = fits.exists()
        told["published anew"] = (
            PublishedWindow.objects.get(part_number="").published_at > published
        )
    # Settled for good: whatever the clock says.
    told["settled"] = told["kept"] and LeadTimeFit.objects.filter(stamp=stamp_of(factory)).exists()
    call_command("import_history", str(many), verbosity=0, stdout=sys.stderr)
    told["in the end"] = PastOrder.objects.count()
    sys.stdout.write(json.dumps(told) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
