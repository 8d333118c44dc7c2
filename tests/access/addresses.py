"""Every address the product has, read from its own URL patterns."""

from collections.abc import Iterator

from django.urls import URLResolver, get_resolver


def addresses() -> dict[str, str]:
    """{name: pattern} of every address of config.urls."""
    return dict(every_address())


def every_address() -> Iterator[tuple[str, str]]:
    """(name, pattern) of each, whether or not another has its name."""
    return _walk(get_resolver().url_patterns, "")


def _walk(patterns, before: str) -> Iterator[tuple[str, str]]:
    for pattern in patterns:
        route = before + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            space = f"{pattern.namespace}:" if pattern.namespace else ""
            for name, rest in _walk(pattern.url_patterns, route):
                yield space + name, rest
        else:
            yield pattern.name or f"(no name) {route}", route
