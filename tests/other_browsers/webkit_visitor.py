"""WebKitGTK by its own WebDriver: the engine of Safari and of all browsers of iPhones."""

import os
import shutil
import subprocess
import warnings
from pathlib import Path
from typing import Any

from selenium import webdriver
from selenium.common.exceptions import WebDriverException
from selenium.webdriver import ActionChains
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

from tests.other_browsers.visitor import PATIENCE, DriverError, Visitor

WINDOW = Path(__file__).parent / "webkit_window.py"
NEEDS = ("WebKitWebDriver", "Xvfb")


class WebKitVisitor(Visitor):
    """A window of this size on a screen of its own, that nobody sees."""

    def __init__(self, site: str, place: Path, size: str = "390x844") -> None:
        self.site, self.log = site, place / "webkit.log"
        place.mkdir(parents=True, exist_ok=True)
        self.screen = subprocess.Popen(
            ["Xvfb", "-displayfd", "1", "-screen", "0", "1400x1100x24", "-nolisten", "tcp"],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        try:
            self.driver = self._driver(place, size)
        except BaseException:
            self._end_screen()
            raise

    def _driver(self, place: Path, size: str) -> webdriver.WebKitGTK:
        assert self.screen.stdout
        display = self.screen.stdout.readline().strip()
        surroundings = {
            **os.environ,
            "DISPLAY": f":{display}",
            "GDK_BACKEND": "x11",
            "WEBKIT_PLACE": str(place),
            "WEBKIT_SIZE": size,
        }
        options = Options()
        options.binary_location = str(WINDOW)
        service = Service(
            executable_path=shutil.which(NEEDS[0]), env=surroundings, log_output=str(self.log)
        )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # of Selenium by itself
            driver = webdriver.WebKitGTK(options=options, service=service)
        driver.set_script_timeout(PATIENCE)
        return driver

    def goto(self, path: str) -> None:
        self.driver.get(self.site + path)
        self.wait_for("() => document.readyState === 'complete'")

    def run(self, function: str, *args: Any) -> Any:
        """Promises are awaited, and what they are refused with is an error."""
        script = (
            "const done = arguments[arguments.length - 1];"
            "const args = [...arguments].slice(0, -1);"
            f"Promise.resolve().then(() => ({function})(...args))"
            ".then((value) => done([value ?? null]), (error) => done([null, String(error)]));"
        )
        try:
            value, *wrong = self.driver.execute_async_script(script, *args)
        except (WebDriverException, TypeError) as error:
            raise DriverError(str(error).partition("\n")[0]) from error
        if wrong:
            raise DriverError(wrong[0])
        return value

    def touch(self, element: Any) -> None:
        try:
            element.click()
        except WebDriverException as error:
            raise DriverError(str(error).partition("\n")[0]) from error

    def type(self, text: str) -> None:
        ActionChains(self.driver).send_keys(text).perform()

    def picture(self, path: Path) -> None:
        self.driver.save_screenshot(str(path))

    def complaints(self) -> list[str]:
        said = self.log.read_text(errors="replace").splitlines()
        return [line for line in said if "CONSOLE" in line and "ERROR" in line]

    def close(self) -> None:
        try:
            self.driver.quit()
        finally:
            self._end_screen()

    def _end_screen(self) -> None:
        self.screen.terminate()
        self.screen.wait(20)
        if self.screen.stdout:
            self.screen.stdout.close()
