"""Pages that one test after another looks at: to open one takes five times as long as to go somewhere with it."""

from collections import defaultdict
from collections.abc import Callable
from typing import Any, NamedTuple

from playwright.sync_api import Browser, ConsoleMessage, Locator, Page

UNCLEAR = "status of 422"  # a form that was not understood, which a browser tells of as an error
EMPTY = "/empty"  # where a page stays that nobody looks at
SIZES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "laptop": {"viewport": {"width": 1280, "height": 800}},
}


class Manner(NamedTuple):
    """How a page is opened; those opened alike serve in place of each other."""

    url: str
    size: str
    scripts: bool
    prepared: Callable[[Page], None] | None  # what is done to it once, before it goes anywhere


class Windows:
    """The pages of a browser, and the errors that they said."""

    def __init__(self, browser: Browser) -> None:
        self.errors = list[str]()
        self._browser = browser
        self._free = defaultdict[Manner, list[Page]](list)

    def take(self, manner: Manner) -> Page:
        """A page for one alone, until it is given back; it knows nothing of who had it before."""
        return self._free[manner].pop() if self._free[manner] else self._opened(manner)

    def give(self, manner: Manner, page: Page) -> None:
        """Takes a page back, and from it whatever it was left with."""
        page.goto(EMPTY)
        page.context.clear_cookies()
        page.set_viewport_size(SIZES[manner.size]["viewport"])
        self._free[manner].append(page)

    def _opened(self, manner: Manner) -> Page:
        sized = SIZES[manner.size]
        context = self._browser.new_context(base_url=manner.url, java_script_enabled=manner.scripts, **sized)
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", self._said)
        if manner.prepared is not None:
            manner.prepared(page)
        return page

    def _said(self, said: ConsoleMessage) -> None:
        if said.type == "error" and UNCLEAR not in said.text:
            self.errors.append(said.text)


def follow(link: Locator) -> None:
    """Clicks what leads to another page; a click alone comes back as that one begins, with nothing on it yet."""
    with link.page.expect_navigation():
        link.click()
