"""A standing question gives what the same question put together anew gives."""

from datetime import date
from threading import Thread

import pytest
from django.db import connection
from django.db.models import CharField, Count, Sum
from django.test.utils import CaptureQueriesContext

from sizing.models import Factory, Family
from sizing.standing import KEYS, TODAY, Place, StandingQuestion

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def families():
    factory = Factory.objects.create(name="Alder Works")
    return [
        Family.objects.create(
            factory=factory,
            code=code,
            name=code.title(),
            not_made_from=gone,
            lead_weeks_min=2,
            lead_weeks_max=4,
        )
        for code, gone in (("ash", None), ("birch", date(2026, 3, 1)), ("cedar", date(2026, 6, 1)))
    ]


def test_asked_again_it_sees_what_was_written_since(families):
    """Only the words are kept, never the rows."""
    every = StandingQuestion(Family.objects.order_by("code"))
    assert list(every()) == families
    families[0].delete()
    assert list(every()) == families[1:]


def test_each_asking_has_its_own_values(families):
    """A day, keys and a word are given with each asking."""
    gone = StandingQuestion(Family.objects.filter(not_made_from__lte=TODAY).order_by("code"))
    assert [list(gone(today=date(2026, month, 1))) for month in (2, 3, 6)] == [
        [],
        families[1:2],
        families[1:],
    ]
    these = StandingQuestion(Family.objects.filter(pk__among=KEYS).order_by("code"))
    assert list(these(keys=[families[2].pk, families[0].pk])) == [families[0], families[2]]
    named = StandingQuestion(Family.objects.filter(name__in=[Place("a", CharField()), "Ash"]))
    assert {one.code for one in named(a="Birch")} == {"ash", "birch"}
    begins = StandingQuestion(Family.objects.filter(code__startswith=Place("word", CharField())))
    assert [one.code for one in begins(word="c")] == ["cedar"]
    assert not begins(word="%")


def test_among_no_keys_nothing_is_asked(families):
    """No rows, and no query."""
    these = StandingQuestion(Family.objects.filter(pk__among=KEYS))
    assert len(these(keys=[families[0].pk])) == 1
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert list(these(keys=[])) == []
    assert len(asked) == 0


def test_every_form_of_rows(families):
    """Joined rows, tuples, single values, annotations, slices and prefetched ones are as ever."""
    rows = Family.objects.order_by("code")
    for form in (
        rows.select_related("factory"),
        rows.values_list("code", "factory__name"),
        rows.values_list("code", flat=True)[1:2],
        rows.values_list("code", "name", named=True),
        rows.values("factory").annotate(count=Count("pk")).order_by(),
        rows.annotate(sum=Sum("pk")),
        rows.only("code"),
    ):
        standing = StandingQuestion(form)
        assert list(standing()) == list(form.all()) == list(standing())
    factories = StandingQuestion(Factory.objects.prefetch_related("families"))
    for _again in range(2):
        (factory,) = factories()
        assert len(factory.families.all()) == 3


def test_narrowed_it_is_an_ordinary_question(families):
    """What is made of it is never answered by the words that were kept."""
    every = StandingQuestion(Family.objects.order_by("code"))
    assert len(every()) == 3
    assert list(every().filter(code="birch")) == [families[1]]
    assert every().count() == 3
    assert every().exclude(code="ash").count() == 2
    assert every().exists()
    assert list(every()[:1]) == families[:1]


@pytest.mark.django_db(transaction=True)
def test_many_threads_ask_at_once(families):
    """Each by its own connection, with its own values."""
    these = StandingQuestion(Family.objects.filter(pk__among=KEYS))
    heard: dict[int, list[Family]] = {}

    def ask(key: int) -> None:
        try:
            for _again in range(20):
                heard[key] = list(these(keys=[key]))
                if heard[key][0].pk != key:
                    return
        finally:
            connection.close()

    threads = [Thread(target=ask, args=(family.pk,)) for family in families]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert heard == {family.pk: [family] for family in families}
