"""Cancelling on an order's page, as a clerk presses it."""

from django.urls import reverse

from tests.ordering.placed import user


def press(client, order, *lines, role="counter", **said):
    """What the page answers: these lines ticked, with a reason unless something else is said."""
    client.force_login(user("max" if role == "manager" else "ann", role))
    versions = {f"version-{line.number}": line.version for line in order.lines.all()}
    data = {"line": lines, "why": "the sash is repaired", **versions, **said}
    return client.post(reverse("order-cancel", args=[order.pk]), data)
