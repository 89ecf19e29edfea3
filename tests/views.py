"""The two pictures that open the README, made from the demo: `python tests/views.py`."""

import base64
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Browser, Locator, Page, sync_playwright

HERE = Path(__file__).parent / "browser" / "readme"
DAY = "2026-11-28"
STUDENT, QUESTION = "Cleo Marsh", "yaw-by-phase-adding-wind"
ASKING = "01a22300-0000-7000-8000-000000000000"  # begun on that day; the order of the options follows from it
COLOURS = 32  # enough for paper, ink and the edges of letters, and half the bytes
PHONE, LAPTOP = {"width": 390, "height": 844}, {"width": 1280, "height": 700}
SIDE_BY_SIDE = '<body style="margin:0;display:flex;gap:24px;padding:24px;background:#d8d4c8;width:max-content">'
FRAMED = '<img style="width:390px;border-radius:24px;display:block" src="data:image/png;base64,{}">'


@contextmanager
def served(database: Path) -> Iterator[str]:
    """The demo, made and served by the commands that a person would type."""
    called = [sys.executable, "-c", "from stickback.cli.main import main; main()"]
    called += ["--db", str(database), "--today", DAY]
    subprocess.run([*called, "demo"], check=True, stdout=subprocess.DEVNULL)
    with subprocess.Popen([*called, "serve", "--port", "0"], stdout=subprocess.PIPE, text=True) as serving:
        try:
            yield serving.stdout.readline().split()[3].rstrip("/")
        finally:
            serving.terminate()


def review(page: Page) -> Locator:
    """A question, and beside it its mark."""
    page.set_viewport_size(PHONE)
    page.goto(f"/s/{STUDENT}/review/{QUESTION}/{ASKING}")
    seen = [page.screenshot()]
    page.locator(".option").first.click()
    page.get_by_role("button", name="sure", exact=True).click()
    page.locator("#mark").wait_for()
    seen.append(page.screenshot())
    page.goto("about:blank")
    page.set_content(SIDE_BY_SIDE + "".join(FRAMED.format(base64.b64encode(each).decode()) for each in seen))
    return page.locator("body")


def board(page: Page) -> Locator:
    """The school's board."""
    page.set_viewport_size(LAPTOP)
    page.goto("/school")
    return page.locator("body")


VIEWS: tuple[Callable[[Page], Locator], ...] = (review, board)


def make(browser: Browser, url: str, folder: Path) -> None:
    """Both as files of a folder."""
    for view in VIEWS:
        page = browser.new_page(base_url=url, color_scheme="light", device_scale_factor=2)
        seen = Image.open(BytesIO(view(page).screenshot()))
        seen.quantize(COLOURS).save(folder / f"{view.__name__}.png", optimize=True)
        page.close()


def main(chromium: str) -> None:
    """Makes both anew."""
    with TemporaryDirectory() as folder, served(Path(folder) / "demo.db") as url, sync_playwright() as playing:
        browser = playing.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        make(browser, url, HERE)
        browser.close()


if __name__ == "__main__":
    main(shutil.which("chromium") or sys.exit("Chromium is needed."))
