"""A real server and a real browser: the page as a phone on the roof meets it."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from tests.browser.crew import Phone

from lapwright.record.chain import verify
from lapwright.store import open_store
from lapwright.web.morning import morning_app

ARGS = ["--no-sandbox", "--disable-background-networking"]


class Site:
    """The page's server on a free port; it can go away and come back."""

    def __init__(self) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}/"
        self.start()

    def start(self) -> None:
        """Serve, and return when the port answers."""
        config = uvicorn.Config(morning_app(), port=self.port, log_level="critical", lifespan="off")
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            assert self.thread.is_alive(), "the server did not start"
            self.thread.join(0.01)

    def stop(self) -> None:
        """Go away, with every open connection."""
        self.server.should_exit = True
        self.server.force_exit = True
        self.thread.join(10)


@pytest.fixture
def site() -> Iterator[Site]:
    """The page's server, for one test."""
    site = Site()
    yield site
    site.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The Chromium of this machine; without one these tests cannot speak."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        pytest.fail("no chromium on this machine: install it, then run again")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(browser: Browser, site: Site) -> Iterator[Callable[..., Page]]:
    """Open the page in a fresh browser profile; no script may fail, no request may leave."""
    contexts, failures, strangers = [], [], []

    def note_request(url: str) -> None:
        if not url.startswith((site.address, f"blob:{site.address}")):
            strangers.append(url)

    def opened(*, width: int = 360, height: int = 740, locale: str = "en-US") -> Page:
        context = browser.new_context(viewport={"width": width, "height": height}, locale=locale)
        contexts.append(context)
        context.on("request", lambda request: note_request(request.url))
        page = context.new_page()
        page.on("pageerror", lambda error: failures.append(str(error)))
        page.goto(site.address)
        page.locator("#add").wait_for()
        return page

    yield opened
    for context in contexts:
        context.close()
    assert failures == []
    assert strangers == []


class Crewed:
    """The service as a crew runs it, in a process of its own that can be killed."""

    def __init__(self, folder: Path) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}/"
        self.database = folder / "lapwright.db"
        self.start()

    def start(self) -> None:
        """Serve, and return when the port answers."""
        command = [
            sys.executable, "-m", "lapwright", "serve",
            "--port", str(self.port), "--store", str(self.database),
        ]  # fmt: skip
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        while True:
            assert self.process.poll() is None, "the server did not start"
            with socket.socket() as asked:
                if asked.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.05)

    def kill(self) -> None:
        """As when the laptop loses its power."""
        self.process.kill()
        self.process.wait()

    def verify(self) -> None:
        """Every job's chain holds, from its first entry."""
        store = open_store(str(self.database))
        try:
            for job in store.ledger.jobs():
                assert verify(store.ledger.since(job)) == store.ledger.head(job).hash
        finally:
            store.close()


@pytest.fixture
def crewed(tmp_path: Path) -> Iterator[Crewed]:
    """The service with a store, for one test."""
    crewed = Crewed(tmp_path)
    yield crewed
    crewed.kill()


@pytest.fixture
def phone(browser: Browser, crewed: Crewed) -> Iterator[Callable[..., Phone]]:
    """A phone with the field page open; no script may fail, no request may leave."""
    contexts, failures = [], []

    def opened(
        *, width: int = 360, height: int = 740, language: str = "en", before: str = "", **more: Any
    ) -> Phone:
        context = browser.new_context(
            viewport={"width": width, "height": height}, locale=f"{language}-US", **more
        )
        contexts.append(context)
        if before:
            context.add_init_script(before)
        page = context.new_page()
        page.on("pageerror", lambda error: failures.append(str(error)))
        context.on(
            "request",
            lambda request: (
                None
                if request.url.startswith((crewed.address, f"blob:{crewed.address}"))
                else failures.append(request.url)
            ),
        )
        found = Phone(page, crewed.address, language=language)
        found.open()
        return found

    yield opened
    for context in contexts:
        context.close()
    assert failures == []
