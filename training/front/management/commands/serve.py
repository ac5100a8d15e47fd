"""Prepare the site and serve it; with --demo, a workshop that is ready to be looked at."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import webbrowser
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import waitress
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application

from training.common.starting import UnsafeStart, refuse_unsafe_start
from training.front import preparing
from training.people import demo
from training.people.models import Member

if TYPE_CHECKING:
    from argparse import ArgumentParser
    from collections.abc import Iterator

THREADS = 8
HIGHEST_PORT = 65_535


class Command(BaseCommand):
    """Serve the site with a production server."""

    help = "Prepare the database and the engine, then serve the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take where to serve and whether it is the demo."""
        parser.add_argument("--demo", action="store_true", help="a ready demo shop, on this computer only")
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--no-open", action="store_true", help="do not open the browser")

    def handle(self, *args: Any, **options: Any) -> None:
        """Refuse what is unsafe, prepare, say where the site is, serve."""
        host, port, is_demo = options["host"], options["port"], options["demo"]
        if is_demo and not settings.DEMO:
            raise CommandError("Write --demo in full: the settings must know of it before they are read.")
        try:
            refuse_unsafe_start(host)
        except UnsafeStart as refusal:
            raise CommandError(str(refusal)) from refusal
        with _bound_socket(host, port) as door:
            self._prepare(is_demo=is_demo)
            address = f"http://{host if ':' not in host else f'[{host}]'}:{port}/"
            self._announce(address, is_demo=is_demo)
            server = waitress.create_server(
                get_wsgi_application(), sockets=[door], threads=THREADS, **_proxy()
            )
            if not options["no_open"]:
                webbrowser.open(address)
            with _evidence_worked_out():
                server.run()

    def _prepare(self, *, is_demo: bool) -> None:
        with self._step("Database"):
            call_command("migrate", interactive=False, verbosity=0)
        with self._step("Pages and pictures"):
            call_command("collectstatic", interactive=False, verbosity=0)
        if is_demo:
            with self._step("Demo shop"):
                demo.load_shop(demo.read_shop(settings.FIXTURES / "shop.toml"))
        for title, prepare in preparing.STEPS:
            with self._step(title):
                prepare(self._progress)

    def _progress(self, done: int, to_do: int) -> None:
        """Show how far a long step is, at every tenth."""
        tenth = max(1, to_do // 10)
        if done % tenth == 0 and done < to_do:
            self.stdout.write(f"{100 * done // to_do}% ", ending="")
            self.stdout.flush()

    @contextmanager
    def _step(self, title: str) -> Iterator[None]:
        """Say what is being done while it is done, then how long it took."""
        self.stdout.write(f"  {title} ... ", ending="")
        self.stdout.flush()
        started = time.monotonic()
        yield
        self.stdout.write(f"ready in {time.monotonic() - started:.1f} s")

    def _announce(self, address: str, *, is_demo: bool) -> None:
        self.stdout.write(f"\nPumpwright is at {address}   (Ctrl+C stops it)\n")
        if is_demo:
            self.stdout.write("Sign in as:")
            for one in demo.read_shop(settings.FIXTURES / "shop.toml").members:
                self.stdout.write(f"  {one.crew_number}  {one.password:26} {one.name}, {one.role}")
        elif not Member.objects.exists():
            self.stdout.write(
                'Nobody can sign in yet. Add the shop manager with: manage.py add_member 1100 "Full Name" --role manager'
            )
        self.stdout.flush()


@contextmanager
def _evidence_worked_out() -> Iterator[None]:
    """Let another process fill the outcome tables while the site is served; it ends with the site."""
    worker = subprocess.Popen([sys.executable, sys.argv[0], "work_out_evidence"])  # noqa: S603  our own command
    try:
        yield
    finally:
        worker.terminate()
        worker.wait()


def _bound_socket(host: str, port: int) -> socket.socket:
    """Take the port before the long preparations, so that a taken one is told of at once."""
    if not 0 < port <= HIGHEST_PORT:
        raise CommandError(f"A port is a number from 1 to {HIGHEST_PORT}, not {port}.")
    try:
        (family, kind, protocol, _, address) = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except socket.gaierror as error:
        raise CommandError(f"No computer is called {host}. Leave --host out to serve on this one.") from error
    door = socket.socket(family, kind, protocol)
    if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # Windows would let two servers share the port
        door.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind(address)
    except OSError as error:
        door.close()
        raise CommandError(
            f"{host}:{port} cannot be used ({error.strerror}). Give another, such as --port {port + 1}."
        ) from error
    return door


def _proxy() -> dict[str, Any]:
    """Believe the headers of the one proxy that was named, and of nobody else."""
    if not settings.PROXY:
        return {}
    return {
        "trusted_proxy": settings.PROXY,
        "trusted_proxy_headers": "x-forwarded-for x-forwarded-host x-forwarded-proto",
        "clear_untrusted_proxy_headers": True,
    }
