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


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--slow"):
        return
    skip = pytest.mark.skip(reason="slow simulation: run with --slow")
    for item in items:
        if "slow" in item.keywords:
            item.add_marker(skip)
