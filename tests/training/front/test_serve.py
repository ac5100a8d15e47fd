"""The one command a stranger types: from nothing to a signed-in page, in a process of its own."""

import http.cookiejar
import os
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
LONGEST_START = 600  # the first start compiles the engine and works out the tables [s]


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """A demo shop served from an empty directory: its address and what it printed."""
    var = tmp_path_factory.mktemp("var")
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = one.getsockname()[1]
    kept = {
        name: value for name, value in os.environ.items() if not name.startswith(("PUMPWRIGHT_", "DJANGO_"))
    }
    printed = var / "printed"
    with printed.open("w") as out:
        server = subprocess.Popen(  # noqa: S603  our own command line
            [sys.executable, "manage.py", "serve", "--demo", "--no-open", "--port", str(port)],
            cwd=ROOT,
            env=kept | {"PUMPWRIGHT_VAR": str(var)},
            stdout=out,
            stderr=subprocess.STDOUT,
        )
    try:
        wait_until_served(server, port, printed)
        yield f"http://127.0.0.1:{port}", printed.read_text()
    finally:
        server.terminate()
        server.wait(timeout=30)


def wait_until_served(server, port, printed):
    until = time.monotonic() + LONGEST_START
    while "Pumpwright is at" not in printed.read_text():
        assert server.poll() is None, printed.read_text()
        assert time.monotonic() < until, printed.read_text()
        time.sleep(0.5)
    while time.monotonic() < until:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=5).close()
        except OSError:
            time.sleep(0.2)
        else:
            return


@pytest.fixture
def browser():
    """A client that keeps cookies, as a browser does."""
    return urllib.request.build_opener(urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()))


def read(browser, address, **sent):
    data = urllib.parse.urlencode(sent).encode() if sent else None
    with browser.open(address, data, timeout=60) as answer:
        return answer.read().decode()


def test_printed_sign_in_opens_today(demo, browser):
    address, printed = demo
    crew_number, password = re.search(r"^ +(\d+) +(\S+) +.*apprentice$", printed, re.MULTILINE).groups()
    token = re.search(
        r'name="csrfmiddlewaretoken" value="([^"]+)"', read(browser, f"{address}/sign-in/")
    ).group(1)

    page = read(
        browser, f"{address}/sign-in/", account=crew_number, password=password, csrfmiddlewaretoken=token
    )

    assert "Read the call sheet" in page
    assert "papers" in page.lower()


def test_every_file_a_page_names_is_there_and_may_be_kept(demo, browser):
    address, _ = demo
    page = read(browser, f"{address}/sign-in/")

    files = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)

    assert len(files) >= 6
    for file in files:
        with browser.open(address + file, timeout=30) as answer:
            assert "immutable" in answer.headers["Cache-Control"], file


def test_another_host_name_is_refused(demo):
    address, _ = demo
    asked = urllib.request.Request(f"{address}/sign-in/", headers={"Host": "elsewhere.example"})  # noqa: S310  our own address

    with pytest.raises(urllib.error.HTTPError) as refusal:
        urllib.request.urlopen(asked, timeout=30)  # noqa: S310  our own address

    assert refusal.value.code == 400
    refusal.value.close()


def test_a_shortened_demo_option_does_not_load_known_passwords(tmp_path):
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PUMPWRIGHT_")}

    refused = subprocess.run(
        [sys.executable, "manage.py", "serve", "--dem", "--no-open", "--port", "1"],
        cwd=ROOT,
        env=kept | {"PUMPWRIGHT_VAR": str(tmp_path), "PUMPWRIGHT_SECRET_KEY": "k" * 50},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )

    assert refused.returncode == 1
    assert "Write --demo in full" in refused.stderr
