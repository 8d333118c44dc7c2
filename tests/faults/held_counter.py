"""A clerk saves while another program holds the database: `python -m tests.faults.held_counter`.

On a migrated database. Prints as JSON what the page answered, what stood in its boxes, how many requests
there were, and the same when it was sent again after.
"""

import json
import os

import django


def main() -> None:
    os.environ["ALLOWED_HOSTS"] = "testserver"
    django.setup()
    from django.db import connection
    from django.test import Client

    from quotes.models import Request
    from tests.faults.database import be_impatient
    from tests.faults.trouble import held
    from tests.ordering.placed import load_shop, user
    from tests.quotes.counter_page import fields_of, page, words_of

    load_shop()
    be_impatient()
    client = Client(raise_request_exception=False)
    client.force_login(user())
    connection.close()
    typed = page(
        {"m-upper_glass": "20 1/4", "m-opening": "4 ft"}, caller="Ann Lowe", note="two\nlines"
    )
    boxes, told = typed | {"openings": "0"}, []
    with held(5):
        for more in ({"do": "save"}, {"do": "autosave"}):
            answer = client.post("/counter/", {**typed, **more})
            fields = fields_of(answer)
            same = {name: fields.get(name) == text for name, text in boxes.items()}
            there = Request.objects.count()
            told.append([answer.status_code, all(same.values()), there, words_of(answer)])
    again = client.post("/counter/", {**typed, "do": "save"})
    told.append([again.status_code, True, Request.objects.count(), ""])
    print(json.dumps(told))


if __name__ == "__main__":
    main()
