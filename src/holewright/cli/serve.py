"""holewright serve: the pages, on this computer or in the shop's network."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers
from holewright.cli.options import Book

if TYPE_CHECKING:
    from holewright.jobs.people import Role
    from holewright.jobs.serve_settings import ServeSettings

PORT = 8765


@answers
def serve(
    book: Book = None,
    port: Annotated[int, typer.Option("--port", "-p", min=1, max=65535, help="Port.")] = PORT,
    lan: Annotated[
        bool,
        typer.Option("--lan", help="Serve to the shop's network too; it then asks for a password."),
    ] = False,
    host: Annotated[
        list[str] | None,
        typer.Option(
            "--host",
            metavar="NAME",
            help="Another name under which browsers may ask, such as mill3.shop; with --lan.",
            show_default=False,
        ),
    ] = None,
    cert: Annotated[
        Path | None,
        typer.Option("--cert", metavar="PEM", help="Certificate for TLS.", show_default=False),
    ] = None,
    key: Annotated[
        Path | None,
        typer.Option("--key", metavar="PEM", help="Key of the certificate.", show_default=False),
    ] = None,
    open_browser: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the browser at the start.")
    ] = True,
    access: Annotated[
        str | None,
        typer.Option(
            "--access",
            metavar="FILE",
            help="File of the passwords. By default that of HOLEWRIGHT_ACCESS, or access.json "
            "in your settings folder.",
            show_default=False,
        ),
    ] = None,
    set_password: Annotated[
        str | None,
        typer.Option(
            "--set-password",
            metavar="reader|gauger|planner",
            help="Set the password of a role, and stop.",
            show_default=False,
        ),
    ] = None,
) -> int:
    """Serve the pages: for the PC at the machine, and with --lan for the tablet at the gauge.

    On this computer it asks for nothing. It runs until Ctrl+C.
    """
    from holewright.errors import InputError
    from holewright.jobs.access import access_file
    from holewright.jobs.serve_settings import ServeSettings

    passwords = access_file(access)
    if set_password is not None:
        return _set_password(passwords, _role(set_password))
    if (cert is None) != (key is None):
        raise InputError("--cert", cert or "not given", "must come together with --key")
    for path in (cert, key):
        if path is not None and not path.is_file():
            raise InputError("--cert" if path is cert else "--key", path, "must be a file")
    names = (*(host or ()), *_own_names()) if lan else tuple(host or ())
    settings = ServeSettings(passwords, book, lan=lan, hosts=names, tls=cert is not None)
    return _run(settings, port, cert, key, open_browser)


def _role(text: str) -> Role:
    from holewright.errors import InputError
    from holewright.jobs.people import Role

    try:
        return Role(text.lower())
    except ValueError:
        raise InputError("--set-password", text, "must be reader, gauger or planner") from None


def _set_password(path: Path, role: Role) -> int:
    from holewright.jobs.access import set_password

    password = typer.prompt(f"Password of the {role}", hide_input=True, confirmation_prompt=True)
    set_password(path, role, password)
    typer.echo(f"The password of the {role} is set. Pages that are served already take it from")
    typer.echo("their next start on.")
    return GOOD


def _own_names() -> tuple[str, ...]:
    import socket

    name = socket.gethostname().lower()
    return name, f"{name}.local", socket.getfqdn().lower()


def _address(lan: bool) -> str:
    """Return the number by which this computer is known in the network, without asking it."""
    import socket

    if not lan:
        return "127.0.0.1"
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:  # sends nothing: it only looks which way a packet would leave
            probe.connect(("10.255.255.255", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _run(
    settings: ServeSettings, port: int, cert: Path | None, key: Path | None, open_browser: bool
) -> int:
    import threading
    import webbrowser
    from importlib import import_module

    import uvicorn

    # The application stands on a floor above this one, so it is found by its name.
    app = import_module("holewright.serving.app").make_app(settings)
    lan = settings.lan
    _check_port("0.0.0.0" if lan else "127.0.0.1", port)
    scheme = "https" if cert else "http"
    url = f"{scheme}://{_address(lan)}:{port}/"
    config = uvicorn.Config(
        app,
        host="0.0.0.0" if lan else "127.0.0.1",
        port=port,
        ssl_certfile=cert,
        ssl_keyfile=key,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=256,
        timeout_keep_alive=15,
    )
    _say(url, lan=lan, tls=cert is not None)
    if open_browser:
        threading.Timer(0.8, webbrowser.open, [url]).start()
    uvicorn.Server(config).run()
    return GOOD


def _check_port(host: str, port: int) -> None:
    import socket

    from holewright.errors import InputError

    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            raise InputError(
                "--port", port, "is taken by another program, or may not be used; name another"
            ) from None


def _say(url: str, *, lan: bool, tls: bool) -> None:
    import sys

    from holewright.cli.output import needs_ascii

    typer.echo(f"holewright serves its pages at {url}")
    if lan:
        if not needs_ascii(sys.stdout):
            import segno

            segno.make(url).terminal(out=sys.stdout, compact=True)
        typer.echo("Point the tablet's camera at the square, or type the address.")
        if not tls:
            typer.echo("Without --cert and --key everything goes over the network unencrypted,")
            typer.echo("passwords too: only in a network that you trust.")
    else:
        typer.echo("Only this computer can see them; --lan lets the shop's network in.")
    typer.echo("Stop with Ctrl+C.")
    sys.stdout.flush()
