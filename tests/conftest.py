"""What every test may use. What touches a database is marked so, but for what is named here: it runs on both engines."""

import gc
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from copy import deepcopy

import hypothesis
import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import TransactionTestCase, override_settings
from whitenoise.middleware import WhiteNoiseMiddleware

from ordering.expected import forget
from sizing.remembered import forget_all
from tests.faults.fresh import ENGINE, migrated_desk

# Of the browser's tests those that go through a whole day; pages look the same on either engine.
BROWSED = {"test_request_to_acceptance.py", "test_order_day.py", "test_first_run.py"}
# Headers, tokens and where a sign-in leads are no engine's; test_who_may_open_what opens the same pages on both.
# So are the links on those pages, and the names and the language that they and the papers are written in.
# Nor is whether the judge of the faults finds a desk broken on purpose; a sound one is run through them on both.
ALIKE = {
    "test_headers.py", "test_forms_need_their_token.py", "test_open_redirect.py",
    "test_pages_lead_where_one_may_go.py", "test_people_are_named_on_every_page.py",
    "test_demo_is_whole_in_spanish.py", "test_nothing_is_left_in_english.py",
    "test_measuring_sheet_on_paper.py",
    "test_judge_finds_broken_desk.py",
    # Of a file whose other tests are of both.
    "test_without_a_role",
}  # fmt: skip
# Whatever leads to a database, by its fixture's name.
OWN_PROCESSES = {"fresh", "fresh_shop"}
DATABASE = {"db", "transactional_db", "live_server", "django_db_setup", *OWN_PROCESSES}
# What `migrate` writes by itself, and no test changes.
MIGRATED = {"django_content_type", "auth_permission"}


# A busy machine is slow, not wrong. In CI the examples are the same each time, besides.
hypothesis.settings.register_profile(
    "any machine", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
)
hypothesis.settings.load_profile("any machine")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "database: touches a database (set by itself)")


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Iterator[None]:
    for item in items:
        if item.path.parent.name == "browser" and item.path.name not in BROWSED:
            continue
        if {item.path.name, item.originalname} & ALIKE:
            continue
        if item.get_closest_marker("django_db") or DATABASE & set(item.fixturenames):
            item.add_marker("database")
    yield
    # What starts processes of its own takes longest: begun last, one of a run's workers would be left with it.
    items.sort(key=lambda item: not OWN_PROCESSES & set(item.fixturenames))


def pytest_collection_finish() -> None:
    """What is loaded by now stays to the end: looking through all of it for rubbish, again and again, took a
    twentieth of a run.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix):
    """Each of a run's processes begins with a copy of the migrated database, instead of migrating one itself."""
    if ENGINE == "postgresql":
        settings.DATABASES["default"].setdefault("TEST", {})["TEMPLATE"] = migrated_desk()
        yield
        return
    # In memory, and there for as long as somebody holds it.
    memory = connection.creation._get_test_db_name()
    with closing(sqlite3.connect(memory, uri=True)) as copy:
        with closing(sqlite3.connect(migrated_desk())) as kept:
            kept.backup(copy)
        yield


@pytest.fixture(autouse=True)
def nothing_remembered(monkeypatch):
    """What a page remembers for a minute (names, choices) is of rows that the test before has taken back, and
    so is what a factory's past was seen to say.

    The minute lasts as long as the test, so that how many queries it counts does not depend on the clock.
    """
    monkeypatch.setattr("sizing.remembered.monotonic", lambda: 0.0)
    forget_all()
    forget()


@pytest.fixture(scope="session", autouse=True)
def own_folder(tmp_path_factory):
    """What the product keeps beside the database is the tests' own, not that of the desk they run on."""
    with override_settings(VAR_DIR=tmp_path_factory.mktemp("var")):
        yield


@pytest.fixture(scope="session", autouse=True)
def quick_passwords():
    """A sign-in asks for the right password; that guessing it takes long is Django's own to prove."""
    quick = "django.contrib.auth.hashers.MD5PasswordHasher"
    with override_settings(PASSWORD_HASHERS=[quick, *settings.PASSWORD_HASHERS]):
        yield


@pytest.fixture(scope="session", autouse=True)
def static_files_read_once():
    """Each client loads the middleware anew, and a page of it is asked for once or twice: that it looks through
    all static files first is the same each time, and took a quarter of what such a test takes.
    """
    look_through, files = WhiteNoiseMiddleware.add_files_from_finders, {}

    def once(self):
        if not files:
            look_through(self)
            files.update(self.files)
        self.files.update(files)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WhiteNoiseMiddleware, "add_files_from_finders", once)
        yield


def emptied(test=None) -> None:
    """The database as `migrate` left it: rows go from the tables that hold any.

    Django's own way takes a new file for each table and index on PostgreSQL, and writes anew on either engine
    what a migrated database begins with; after some tests that took longer than the test.
    """
    quoted = connection.ops.quote_name
    tables = set(connection.introspection.django_table_names(only_existing=True)) - MIGRATED
    held = " UNION ALL ".join(
        f"SELECT '{name}' WHERE EXISTS (SELECT 1 FROM {quoted(name)})"  # noqa: S608 (our own tables)
        for name in sorted(tables)
    )
    with transaction.atomic(), connection.cursor() as cursor:
        if ENGINE == "postgresql":
            # Who still writes (a live server's page) is waited for. As all rows go, no key has to be looked after.
            cursor.execute(f"LOCK TABLE {', '.join(map(quoted, tables))} IN EXCLUSIVE MODE")
            cursor.execute("SET LOCAL session_replication_role = replica")
        cursor.execute(held)
        for (name,) in cursor.fetchall():
            cursor.execute(f"DELETE FROM {quoted(name)}")  # noqa: S608


@pytest.fixture(scope="session", autouse=True)
def emptied_after_each():
    """After a test that is no transaction of its own, which a rollback would undo."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", emptied)
        yield


class _Done(Exception):
    """Ends the transaction that a file's rows were built in."""


@pytest.fixture(scope="module")
def builder(request):
    """What puts a file's shop into the database and returns what of it the tests ask for: its own `build`."""
    return request.module.build


@pytest.fixture(scope="module")
def built_for_all(builder, django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        try:
            with transaction.atomic():
                made = builder()
                # Left open on PostgreSQL, the keys of all these rows would be looked after again at the end of each test.
                connection.check_constraints()
                yield made
                raise _Done
        except _Done:
            pass


@pytest.fixture
def built(built_for_all, db):
    """A shop that is dear to build, built once for a whole file: each test is given a copy of what was returned.

    What a test changes is rolled back to it. So every test of such a file begins with it (`usefixtures`),
    and none of them is a transactional one, which would empty the database.
    """
    return deepcopy(built_for_all)
