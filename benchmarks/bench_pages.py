"""Round trips at the pages for job A: in a real browser, from the change to what is shown.

Run with ``pytest benchmarks/bench_pages.py -s``. The numbers are printed and never asserted.
"""

from __future__ import annotations

import statistics
import time

from served_shop import JOB_A

TYPED = "8 H7 x 22 through"


def _p95(times: list[float]) -> str:
    times = sorted(times)
    at = times[min(len(times) - 1, round(0.95 * len(times)) - 1)]
    return f"median {statistics.median(times):.0f} ms, 95 % within {at:.0f} ms, {len(times)} times"


def _timed(page, act, done: str, argument: object = None) -> float:
    begin = time.perf_counter()
    act()
    page.wait_for_function(done, arg=argument, polling="raf")
    return 1000 * (time.perf_counter() - begin)


def bench_typing_a_callout(served_shop, open_page):
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/new")
    shown = "wanted => document.getElementById('understood').dataset.for === wanted"
    times = []
    for _ in range(3):
        page.fill("#callout", "")
        page.focus("#callout")
        for i, letter in enumerate(TYPED, start=1):
            times.append(_timed(page, lambda key=letter: page.keyboard.type(key), shown, TYPED[:i]))
    print(f"\ntyping a callout, pause of 40 ms included: {_p95(times)}")


def bench_dragging_the_point(served_shop, open_page):
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/{JOB_A}/window")
    page.focus("#window")
    shown = "before => document.getElementById('point').dataset.for !== before"
    times = []
    for i in range(60):
        before = page.evaluate("document.getElementById('point').dataset.for ?? null")
        key = ("ArrowRight", "ArrowUp", "ArrowLeft", "ArrowDown")[i % 4]
        times.append(_timed(page, lambda key=key: page.keyboard.press(key), shown, before))
    print(f"\nmoving the point: {_p95(times)}")


def bench_answering_at_the_gauge(served_shop, open_page):
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/{JOB_A}/gauge")
    saved = "() => document.querySelector('#saved .state')?.textContent === 'Saved'"
    times = []
    for _ in range(30):
        for key in ("g", "n"):
            times.append(_timed(page, lambda key=key: page.keyboard.press(key), saved))
    print(f"\nan answer, from the key to saved on disk: {_p95(times)}")


def bench_first_pages(served_shop, open_page):
    for path in ("/", f"/jobs/{JOB_A}/route", f"/jobs/{JOB_A}/window", f"/jobs/{JOB_A}/gauge"):
        page = open_page()
        taken: list[int] = []
        page.on("response", lambda one, taken=taken: taken.append(len(one.body())))
        begin = time.perf_counter()
        page.goto(served_shop.url + path, wait_until="load")
        wall = 1000 * (time.perf_counter() - begin)
        page.wait_for_load_state("networkidle")
        print(f"\n{path}: {wall:.0f} ms, {sum(taken) / 1000:.0f} kB in {len(taken)} requests")
