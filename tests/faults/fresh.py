"""Databases of their own for tests that run the desk in processes of its own."""

import os
from contextlib import contextmanager
from urllib.parse import urlsplit, urlunsplit

import pytest


@contextmanager
def fresh_database(engine: str, folder, name: str):
    """The address of a new, empty database: a file in `folder`, or one on the configured server."""
    if engine == "sqlite":
        yield f"sqlite:///{folder / name}.sqlite3"
        return
    address = os.environ.get("DATABASE_URL", "")
    if not address.startswith("postgres"):
        pytest.skip("DATABASE_URL names no PostgreSQL server")
    import psycopg

    name = f"{name}_{os.getpid()}"
    with psycopg.connect(address, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    try:
        yield urlunsplit(urlsplit(address)._replace(path=f"/{name}"))
    finally:
        with psycopg.connect(address, autocommit=True) as server:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
