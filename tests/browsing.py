"""A page opened in Debian's Chromium, which is asked for nothing outside."""

import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

QUIET = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--window-size=1300,900",
)
SOFT_3D = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader")
PATIENCE_S = 60  # a busy machine has stood still for half of it
PROOF_READY = "return document.getElementById('clock').textContent !== ''"


def browser_or_skip() -> tuple[str, str]:
    """The browser's and its driver's path."""
    browser, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if not browser or not driver:
        pytest.skip("no chromium with its chromedriver here (Debian: chromium, chromium-driver)")
    pytest.importorskip("selenium", reason="no selenium here: install the extra dev")
    return browser, driver


@contextmanager
def opened(page: Path, folder: Path, *extra: str, ready: str = PROOF_READY) -> Iterator["Browser"]:
    """The page in a fresh browser that ends with the block; `ready` is the script that says when it may be used."""
    binary, driver = browser_or_skip()
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = binary
    for flag in (*QUIET, f"--user-data-dir={folder}", *extra):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    chrome = webdriver.Chrome(options=options, service=Service(driver))
    try:
        chrome.get(page.as_uri())
        browser = Browser(chrome)
        browser.wait(lambda: bool(browser.run(ready)))
        yield browser
    finally:
        chrome.quit()


class Browser:
    """What a person does with the page."""

    def __init__(self, chrome: Any) -> None:
        self.chrome = chrome

    def run(self, script: str, *arguments: object) -> Any:
        return self.chrome.execute_script(script, *arguments)

    def text(self, name: str) -> str:
        return str(self.run("return document.getElementById(arguments[0]).textContent", name))

    def shown(self, name: str) -> bool:
        return bool(self.run("return !document.getElementById(arguments[0]).hidden", name))

    def wait(self, is_so: Callable[[], bool]) -> None:
        """Until it is so; a page that never gets there fails."""
        end = time.monotonic() + PATIENCE_S
        while not is_so():
            assert time.monotonic() < end, "the page did not get there"
            time.sleep(0.03)

    def key(self, *keys: str) -> None:
        for key in keys:
            self.run(
                "document.body.dispatchEvent(new KeyboardEvent('keydown', "
                "{key: arguments[0], bubbles: true, cancelable: true}))",
                key,
            )

    def scrub(self, share: float) -> None:
        self.run(
            "const s = document.getElementById('scrub'); s.value = 1e6 * arguments[0];"
            "s.dispatchEvent(new Event('input'))",
            share,
        )

    def pick(self, name: str, value: object) -> None:
        self.run(
            "const s = document.getElementById(arguments[0]); s.value = arguments[1];"
            "s.dispatchEvent(new Event('change'))",
            name,
            str(value),
        )

    def click(self, canvas: str, right: float, down: float) -> None:
        from selenium.webdriver.common.action_chains import ActionChains

        element = self.chrome.find_element("id", canvas)
        box = self.run("const b = arguments[0].getBoundingClientRect(); return [b.width, b.height]", element)
        chain = ActionChains(self.chrome, duration=20)
        chain.move_to_element_with_offset(element, right - box[0] / 2, down - box[1] / 2).click().perform()

    def colours(self, canvas: str) -> int:
        """How many different colours a canvas shows at a sparse net of places; 1 for an empty one."""
        return int(
            self.run(
                "const c = document.getElementById(arguments[0]);"
                "const copy = Object.assign(document.createElement('canvas'), {width: c.width, height: c.height});"
                "const pen = copy.getContext('2d'); pen.drawImage(c, 0, 0);"
                "const p = pen.getImageData(0, 0, c.width, c.height).data, seen = new Set();"
                "for (let i = 0; i < p.length; i += 4 * 7) seen.add(p[i] << 16 | p[i + 1] << 8 | p[i + 2]);"
                "return seen.size",
                canvas,
            )
        )

    def complaints(self) -> list[str]:
        """Errors on the page's console."""
        return [entry["message"] for entry in self.chrome.get_log("browser") if entry["level"] == "SEVERE"]
