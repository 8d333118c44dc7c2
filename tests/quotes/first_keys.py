"""What a page shows of a list beside the whole of it."""

from sizing.rows import Rows


def assert_first_are_first(found: Rows) -> None:
    """However the first keys are come by, they are those that the question for all rows begins with."""
    every = list(found.every().values_list("pk", flat=True))
    for count in (1, 3, 7, 300):
        assert found.first(count) == every[:count]
