"""Brakelund Works as the pages serve it: a record book with its four invented jobs."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from starlette.testclient import TestClient

BRAKELUND = Path(__file__).parents[1] / "examples" / "brakelund"
HERE = "http://127.0.0.1:8765"
PASSWORDS = {
    "reader": "look-only-please",
    "gauger": "pin-goes-in-ok",
    "planner": "steel-and-coolant",
}
JOB_A, JOB_B, JOB_C, JOB_D = 1, 2, 3, 4
"""Numbers of the jobs in the book."""


@pytest.fixture(scope="session")
def brakelund_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a book with the tool room and jobs A to D, once; tests work on copies."""
    from holewright.jobs.bench import open_bench
    from holewright.jobs.book_files import import_file
    from holewright.jobs.look_after_book import init_book, open_at

    path = tmp_path_factory.mktemp("brakelund") / "book.db"
    init_book(str(path))
    book = open_at(str(path))
    for name in ("shop", "job_a", "job_b", "job_c", "job_d"):
        import_file(book, BRAKELUND / f"{name}.toml", bench=open_bench(), by="demo")
    book.engine.dispose()
    return path


@pytest.fixture(scope="session")
def shop_passwords(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Set a password for each role, once: hashing them takes its time on purpose."""
    from holewright.jobs.access import set_password
    from holewright.jobs.people import Role

    path = tmp_path_factory.mktemp("access") / "access.json"
    for role, password in PASSWORDS.items():
        set_password(path, Role(role), password)
    return path


@pytest.fixture
def shop_client(
    brakelund_book: Path, shop_passwords: Path, tmp_path: Path
) -> Iterator[Callable[..., TestClient]]:
    """Return a maker of clients: here, or with ``lan=True`` in the network."""
    from starlette.testclient import TestClient

    from holewright.jobs.serve_settings import ServeSettings
    from holewright.serving.app import make_app

    made = []

    def make(*, lan: bool = False, empty: bool = False, tls: bool = False) -> TestClient:
        book = tmp_path / f"book-{len(made)}.db"
        if not empty:
            shutil.copy(brakelund_book, book)
        settings = ServeSettings(shop_passwords, str(book), lan=lan, tls=tls)
        app = make_app(settings)
        made.append(TestClient(app, base_url=HERE, follow_redirects=False))
        return made[-1]

    yield make
    for client in made:
        client.close()


@pytest.fixture(scope="session")
def still_client(
    brakelund_book: Path, shop_passwords: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[TestClient]:
    """Return a client for tests that write nothing down, made once."""
    from starlette.testclient import TestClient

    from holewright.jobs.serve_settings import ServeSettings
    from holewright.serving.app import make_app

    book = tmp_path_factory.mktemp("still") / "book.db"
    shutil.copy(brakelund_book, book)
    app = make_app(ServeSettings(shop_passwords, str(book)))
    with TestClient(app, base_url=HERE, follow_redirects=False) as client:
        yield client


class Served:
    """Pages served on a port of this computer, in a thread."""

    def __init__(self, app: object, port: int, book: Path) -> None:
        import uvicorn

        self.book = book
        self.url = f"http://127.0.0.1:{port}"
        config = uvicorn.Config(app, port=port, log_level="error", access_log=False)  # type: ignore[arg-type]
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, daemon=True)
        self._thread.start()
        until = time.monotonic() + 20
        while not self._server.started:
            if time.monotonic() > until or not self._thread.is_alive():
                raise RuntimeError("the server did not start")
            time.sleep(0.02)

    def stop(self) -> None:
        self._server.should_exit = True
        self._thread.join(10)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def still_shop(
    brakelund_book: Path, shop_passwords: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Served]:
    """Serve a copy of the book to browsers that write nothing down, started once."""
    from holewright.jobs.serve_settings import ServeSettings
    from holewright.serving.app import make_app

    book = tmp_path_factory.mktemp("still-served") / "book.db"
    shutil.copy(brakelund_book, book)
    served = Served(make_app(ServeSettings(shop_passwords, str(book))), free_port(), book)
    yield served
    served.stop()


@pytest.fixture
def served_shop(brakelund_book: Path, shop_passwords: Path, tmp_path: Path) -> Iterator[Served]:
    """Serve a copy of the book to this computer."""
    from holewright.jobs.serve_settings import ServeSettings
    from holewright.serving.app import make_app

    book = tmp_path / "book.db"
    shutil.copy(brakelund_book, book)
    served = Served(make_app(ServeSettings(shop_passwords, str(book))), free_port(), book)
    yield served
    served.stop()
