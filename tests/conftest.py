"""Settings of the whole test run."""

from __future__ import annotations

import pytest
from hypothesis import settings

from served_shop import (  # noqa: F401  (fixtures for all tests)
    brakelund_book,
    served_shop,
    shop_client,
    shop_passwords,
    still_client,
    still_shop,
)
from shop_browser import chromium, open_page  # noqa: F401

settings.register_profile("house", deadline=None, print_blob=True)
settings.load_profile("house")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--slow", action="store_true", help="run the slow simulations as well")
    parser.addoption("--longest", action="store_true", help="run those of minutes, too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    longest = config.getoption("--longest")
    slow = longest or config.getoption("--slow")
    for item in items:
        if "longest" in item.keywords and not longest:
            item.add_marker(pytest.mark.skip(reason="simulation of minutes: run with --longest"))
        elif "slow" in item.keywords and not slow:
            item.add_marker(pytest.mark.skip(reason="slow simulation: run with --slow"))
