"""A phone in a hand: a browser with its own store that outlives being killed, and the taps a crew makes."""

import os
import re
import signal
from contextlib import suppress
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Error, Page, expect

from tests.browser.conftest import FLAGS, SIZES, chromium, is_trouble

SENT = re.compile(r"^To send: 0$")
# Held back for undo, then sent: well inside this.
SOON = 20_000


class Phone:
    """Opens the field book from a folder of its own, as a phone does from its own memory."""

    def __init__(self, browser: Browser, address: str, folder: Path, scheme: str = "light") -> None:
        self._browser = browser
        self._address = address
        self._folder = folder
        self._scheme = scheme
        self.troubles: list[str] = []
        self.context, self.page = self._switch_on()

    def _switch_on(self) -> tuple[BrowserContext, Page]:
        context = self._browser.browser_type.launch_persistent_context(
            str(self._folder),
            executable_path=chromium(),
            args=FLAGS,
            viewport=SIZES["phone"],
            color_scheme=self._scheme,
            timeout=60_000,
        )
        return context, self._listened(context.pages[0])

    def _listened(self, page: Page) -> Page:
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        page.on("console", lambda said: self.troubles.append(said.text) if self._is_trouble(said) else None)
        return page

    def _is_trouble(self, said) -> bool:
        expected = ("status of 401", "ERR_INTERNET_DISCONNECTED", "Failed to fetch")
        return is_trouble(said) and not any(words in said.text for words in expected)

    def kill(self) -> None:
        """The rain got in: every process of this browser is gone at once, without a word."""
        for pid in _processes_of(self._folder):
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        with suppress(Error):
            self.context.close()

    def switch_on_again(self, *, offline: bool) -> None:
        for lock in self._folder.glob("Singleton*"):
            lock.unlink()
        self.context, self.page = self._switch_on()
        self.context.set_offline(offline)
        self.page.goto(f"{self._address}/field/")

    def open(self) -> None:
        self.page.goto(f"{self._address}/field/")

    def sign_in(self, username: str, password: str) -> None:
        self.page.goto(f"{self._address}/sign-in/?next=/field/")
        self.page.get_by_label("Sign-in name").fill(username)
        self.page.get_by_label("Password").fill(password)
        self.page.get_by_role("button", name="Sign in").click()
        expect(self.page.get_by_role("heading", name="Field book")).to_be_visible()

    def pack(self, yard: str) -> None:
        self.page.goto(f"{self._address}/field/#/choose")
        self.tap(re.compile(f"^{yard}"))
        expect(self.page.get_by_role("button", name=f"✓ {yard}")).to_be_visible()
        self.follow("Done")
        self.until("navigator.serviceWorker.getRegistration('/field/').then((found) => Boolean(found?.active))")

    def start(self, yard: str, *, depth: str = "each colony") -> None:
        self.page.get_by_role("link", name=re.compile(f"^{yard}")).click()
        self.tap("Next")
        for name in ("+1", "−1", "−1", "−1", "cloud", "Next"):
            self.tap(name)
        self.tap(depth)
        self.tap("Start")

    def tap(self, name: str | re.Pattern[str]) -> None:
        self.page.get_by_role("button", name=name, exact=isinstance(name, str)).click()

    def follow(self, name: str) -> None:
        self.page.get_by_role("link", name=name, exact=True).click()

    def look(self, frames: str, lower_box: str, patty: str) -> None:
        for name in (frames, lower_box, patty, "Next"):
            self.tap(name)

    def question(self, legend: str) -> None:
        """Wait until this question is on the pad."""
        expect(self.page.get_by_role("group", name=legend)).to_be_visible()

    def heading(self, words: str | re.Pattern[str]) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_have_text(words)

    def leave(self) -> None:
        self.follow("Leave")
        self.tap("Next")
        self.tap("Leave")
        self.heading("Field book")

    def start_renewed(self) -> None:
        """Close the book and start it once the newer worker has taken over, seen from a page that it does not serve."""
        aside = self._listened(self.context.new_page())
        aside.goto(f"{self._address}/live/")
        self.page.close()
        self.page = aside
        self.until("navigator.serviceWorker.getRegistration('/field/').then((found) => !found.waiting)")
        self.open()

    def until(self, question: str) -> None:
        """Ask the page until it says yes; a page that is just coming again is asked again."""
        for _ in range(100):
            with suppress(Error):
                if self.page.evaluate(question):
                    return
            self.page.wait_for_timeout(100)
        raise AssertionError(f"Never true: {question}")

    def all_sent(self) -> None:
        expect(self.page.locator("#waiting")).to_have_text(SENT, timeout=SOON)


def _processes_of(folder: Path) -> list[int]:
    """The processes that were started with this folder as their memory."""
    mark = f"--user-data-dir={folder}".encode()
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if mark in (entry / "cmdline").read_bytes().split(b"\0"):
                found.append(int(entry.name))
    return found
