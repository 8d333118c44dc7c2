"""Two people of a factory answer one letter at the same instant, many times: `python -m tests.faults.letter_race ROUNDS`.

DATABASE_URL names a migrated database. Prints for each round the two statuses, each opening's price and
how many answers its history has.
"""

import json
import os
import sys

import django


def main(rounds: int) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from quotes.models import Enquiry
    from tests.faults.run import at_once
    from tests.quotes import letters, specials

    specials.set_up()
    told = []
    for _ in range(rounds):
        one, two, three = letters.ask(letters.request_of(3))
        # Both answer the first, each with a price of their own, and each one more.
        statuses = at_once(
            [
                lambda one=one, two=two: answer(letters, "Jo Marsh", (one, "100"), (two, "20")),
                lambda one=one, three=three: answer(
                    letters, "Kit Rowan", (one, "300"), (three, "30")
                ),
            ]
        )
        kept = [Enquiry.objects.get(pk=enquiry.pk) for enquiry in (one, two, three)]
        counts = [specials.happened(e.special).count("factory answered") for e in kept]
        told.append([statuses, [f"{e.answered_by}: {e.cost_words}" for e in kept], counts])
    print(json.dumps(told))


def answer(letters, name, *priced) -> int:
    said = [letters.boxes(enquiry, unit_cost=price) for enquiry, price in priced]
    return letters.send(priced[0][0], letters.same(name=name), *said).status_code


if __name__ == "__main__":
    main(int(sys.argv[1]))
