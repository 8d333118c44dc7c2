"""A list's file takes no more memory for ten times the rows. Run with --run-bench -s."""

import tracemalloc
from time import perf_counter

import pytest
from django.test import Client

from quotes.models import Request
from tests.ordering.placed import user

FEW, MANY = 2_000, 20_000
pytestmark = pytest.mark.django_db


def fill(count: int) -> None:
    there = Request.objects.count()
    Request.objects.bulk_create(
        [Request(caller=f"Caller {n}", note="rings back " * 20) for n in range(there, count)],
        batch_size=500,
    )


def peak_of(client: Client, kind: str) -> tuple[float, float, int]:
    """(MB at the most, seconds, bytes) of the file, read as a browser reads it and thrown away."""
    tracemalloc.start()
    begun = perf_counter()
    size = sum(len(piece) for piece in client.get(f"/requests/?as={kind}").streaming_content)
    seconds = perf_counter() - begun
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return peak, seconds, size


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_memory_stays(kind):
    """Ten times the rows, less than one and a half times the memory."""
    client = Client()
    client.force_login(user("kay", "counter"))
    found = {}
    for count in (FEW, MANY):
        fill(count)
        client.get(f"/requests/?q=nobody&as={kind}")
        found[count] = peak_of(client, kind)
        peak, seconds, size = found[count]
        print(
            f"\n{kind}, {count} rows: {peak:.1f} MB at the most, {size / 1e6:.1f} MB, {seconds:.1f} s"
        )
    assert found[MANY][2] > 5 * found[FEW][2]
    assert found[MANY][0] < 1.5 * found[FEW][0]
