"""Benchmarks run only when asked for: they print ratios, and a busy machine would make them lie."""

import pytest


def pytest_addoption(parser):
    parser.addoption("--run-bench", action="store_true", help="run the benchmarks of tests/bench")


def pytest_collection_modifyitems(config, items):
    if not config.getoption("--run-bench"):
        for item in items:
            if "tests/bench" in item.nodeid:
                item.add_marker(pytest.mark.skip(reason="benchmarks run with --run-bench"))
