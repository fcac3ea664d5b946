"""``holewright serve`` as a person starts it."""

from __future__ import annotations

import os
import shutil
import ssl
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from typer.testing import CliRunner

from holewright.cli.main import app
from served_shop import free_port


def run(*words: str, typed: str = ""):
    return CliRunner().invoke(app, ["serve", *words], input=typed)


def test_a_password_is_set_at_a_prompt_that_does_not_show_it(tmp_path):
    file = tmp_path / "access.json"
    done = run("--access", str(file), "--set-password", "gauger", typed="pins and holes\n" * 2)
    assert done.exit_code == 0
    assert "The password of the gauger is set" in done.output
    assert "pins and holes" not in done.output
    assert "pins and holes" not in file.read_text()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--set-password", "boss"), "must be reader, gauger or planner"),
        (("--cert", "a.pem"), "must come together with --key"),
        (("--cert", "a.pem", "--key", "b.pem"), "must be a file"),
        (("--lan",), "takes a password. Set one first"),
        (("--book", "/"), "must be a file"),
    ],
)
def test_what_can_not_be_served_is_said(tmp_path, words, said):
    done = run("--no-open", "--access", str(tmp_path / "a.json"), *words)
    assert done.exit_code == 2
    assert said in " ".join(done.stderr.split())


class Running:
    """The command in a process of its own."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.port = free_port()
        environment = {**os.environ, "HOLEWRIGHT_ACCESS": str(folder / "access.json")}
        self.process = subprocess.Popen(
            [
                sys.executable, "-c", "from holewright.cli.main import run; run()", "serve",
                "--no-open", "--port", str(self.port), "--book", str(folder / "book.db"), *words,
            ],
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )  # fmt: skip

    def ask(self, url: str, context: ssl.SSLContext | None = None) -> str:
        until = time.monotonic() + 30
        while True:
            try:
                with urllib.request.urlopen(url, context=context, timeout=5) as answer:
                    return str(answer.read().decode())
            except OSError:
                if time.monotonic() > until or self.process.poll() is not None:
                    raise
                time.sleep(0.1)

    def stop(self) -> str:
        self.process.terminate()
        return self.process.communicate(timeout=20)[0]


def test_it_makes_a_book_says_where_it_serves_and_stops_when_told(tmp_path):
    running = Running(tmp_path)
    page = running.ask(f"http://127.0.0.1:{running.port}/")
    said = running.stop()
    assert "The record book has no job yet" in page
    assert f"holewright serves its pages at http://127.0.0.1:{running.port}/" in said
    assert "Only this computer can see them" in said
    assert (tmp_path / "book.db").exists()


@pytest.mark.skipif(shutil.which("openssl") is None, reason="no openssl to make a certificate")
def test_in_the_network_it_shows_a_square_for_the_camera_and_speaks_tls(tmp_path):
    cert, key = tmp_path / "cert.pem", tmp_path / "key.pem"
    subprocess.run(
        [
            "openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256",
            "-nodes", "-keyout", key, "-out", cert, "-days", "2", "-subj", "/CN=localhost",
            "-addext", "subjectAltName=DNS:localhost",
        ],
        check=True,
        capture_output=True,
    )  # fmt: skip
    access = str(tmp_path / "access.json")
    run("--access", access, "--set-password", "planner", typed="steel and coolant\n" * 2)
    running = Running(tmp_path, "--lan", "--cert", str(cert), "--key", str(key))
    context = ssl.create_default_context(cafile=str(cert))
    page = running.ask(f"https://localhost:{running.port}/", context)
    said = running.stop()
    assert "Password of the shop" in page  # nobody is let in without it
    assert "https://" in said
    assert "Point the tablet's camera at the square" in said
    assert "▄" in said or "█" in said
    assert "unencrypted" not in said


def test_a_port_that_is_taken_is_said(tmp_path):
    running = Running(tmp_path)
    running.ask(f"http://127.0.0.1:{running.port}/")
    book = str(tmp_path / "other.db")
    done = run(
        "--no-open", "--access", str(tmp_path / "a.json"), "--book", book,
        "--port", str(running.port),
    )  # fmt: skip
    running.stop()
    assert done.exit_code == 2
    assert "is taken by another program" in " ".join(done.stderr.split())


def test_without_a_certificate_it_says_that_passwords_are_seen(tmp_path):
    access = str(tmp_path / "access.json")
    run("--access", access, "--set-password", "planner", typed="steel and coolant\n" * 2)
    running = Running(tmp_path, "--lan")
    running.ask(f"http://127.0.0.1:{running.port}/sign-in")
    assert "everything goes over the network unencrypted" in running.stop()


def test_help_does_not_wait_for_the_web():
    late = "{'fastapi', 'uvicorn', 'argon2', 'itsdangerous', 'segno'}"
    code = f"import sys, holewright.cli.main; print({late} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
