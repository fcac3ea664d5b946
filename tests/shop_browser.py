"""A real browser at the pages: Debian's Chromium, driven by Playwright."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

PICTURES = Path(__file__).parents[1] / "out" / "journeys"
"""Where screenshots go; git ignores the folder."""

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium"
_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESK = {"width": 1440, "height": 900}
TABLET = {"width": 820, "height": 1180}
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start the browser once; it is never downloaded."""
    if not Path(CHROMIUM).exists():
        pytest.skip("no Chromium here: install Debian's package chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium: Browser) -> Iterator[Callable[..., Page]]:
    """Return a maker of pages, each in a browser of its own that minds what it reports."""
    opened: list[BrowserContext] = []
    wrong: list[str] = []

    def make(size: dict[str, int] = DESK, **more: Any) -> Page:
        context = chromium.new_context(viewport=size, **more)  # type: ignore[arg-type]
        context.set_default_timeout(10_000)
        opened.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(f"script: {error}"))
        page.on(
            "console",
            lambda said: (
                wrong.append(said.text)
                if said.type == "error" and "Failed to load resource" not in said.text
                else None
            ),
        )
        return page

    yield make
    for context in opened:
        context.close()
    assert wrong == []


def picture(page: Page, name: str) -> None:
    """Keep a screenshot for people to look at."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}.png", full_page=True)


class Typist:
    """Types as a person does, and counts what it costs."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.keys = 0
        self.fields = 0

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.keys += 1

    def fill(self, label: str, words: str) -> None:
        """Go on by Tab to the field of that label and fill it in."""
        self.tab_to(label)
        self.page.keyboard.type(words)
        self.keys += len(words)
        self.fields += 1

    def tab_to(self, label: str, most: int = 60) -> None:
        """Go on by Tab until the element of that name has the focus."""
        for _ in range(most):
            if label in self.name_of_focus():
                return
            self.press("Tab")
        raise AssertionError(f"{label} is not reached by {most} tabs")

    def name_of_focus(self) -> str:
        """Return label and text of what has the focus."""
        return str(
            self.page.evaluate(
                """() => {
                const e = document.activeElement;
                if (!e || e === document.body) return "";
                const labels = [...(e.labels ?? [])].map((one) => one.textContent);
                return [...labels, e.getAttribute("aria-label") ?? "", e.tagName === "SELECT" ? ""
                    : e.textContent].join(" ").trim();
                }"""
            )
        )
