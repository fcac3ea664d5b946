"""Lends the benchmarks what the tests serve and browse with."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from served_shop import brakelund_book, served_shop, shop_passwords  # noqa: F401
from shop_browser import chromium, open_page  # noqa: F401
