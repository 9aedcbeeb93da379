"""What a person does in a browser, over the little that each driver can: see, touch, type."""

import time
from abc import ABC, abstractmethod
from collections.abc import Callable
from pathlib import Path
from typing import Any

ENTER = "\ue007"  # as WebDriver has it
PATIENCE = 120.0  # seconds; a slow machine is not a failure
FOUND = (
    Path(__file__)
    .parent.parent.joinpath("browser/scripts/found_by_role.js")
    .read_text()
    .rstrip(";\n")
)
#: An element in the middle of the screen, once nothing lies over it and it can be used.
REACHED = """(element) => {
    if (!element.isConnected || element.matches(":disabled")) return false;
    element.scrollIntoView({ block: "center", behavior: "instant" });
    const { left, top, width, height } = element.getBoundingClientRect();
    const over = document.elementFromPoint(left + width / 2, top + height / 2);
    return Boolean(over) && (element.contains(over) || over.contains(element)
        || [...(element.labels ?? [])].some((label) => label.contains(over)));
}"""
CHOOSE = """(select, said) => {
    const option = [...select.options].find(({ label }) => label.trim() === said);
    if (!option) return false;
    select.value = option.value;
    for (const type of ["input", "change"]) {
        select.dispatchEvent(new Event(type, { bubbles: true }));
    }
    return true;
}"""
TEXT = "(place) => document.querySelector(place)?.innerText ?? ''"


class DriverError(Exception):
    """The driver could not do it: the page may be on its way."""


class Visitor(ABC):
    """A browser with a profile of its own, on a site; addresses are paths of it."""

    site: str

    @abstractmethod
    def goto(self, path: str) -> None:
        """Open the page of this path and wait until it is loaded."""

    @abstractmethod
    def run(self, function: str, *args: Any) -> Any:
        """Call a function of JavaScript in the page; elements go in and out as handles."""

    @abstractmethod
    def touch(self, element: Any) -> None:
        """Press what is in the middle of the screen, as a finger or a mouse does."""

    @abstractmethod
    def type(self, text: str) -> None:
        """Type into what has the focus; the keys of `keys` have names there."""

    @abstractmethod
    def picture(self, path: Path) -> None:
        """Write what the screen shows as a PNG."""

    @abstractmethod
    def complaints(self) -> list[str]:
        """Return the errors that the console has shown so far."""

    @abstractmethod
    def close(self) -> None:
        """End the browser and all that it has started."""

    def wait(self, what: str, is_so: Callable[[], Any]) -> Any:
        """Wait until this is true, and return it; pages may come and go meanwhile."""
        until, trouble = time.monotonic() + PATIENCE, ""
        while time.monotonic() < until:
            try:
                if found := is_so():
                    return found
            except DriverError as error:
                trouble = f" ({error})"
            time.sleep(0.05)
        raise AssertionError(f"Never came: {what}{trouble}\n{self._here()}")

    def _here(self) -> str:
        try:
            return f"{self.address()}\n{self.text('body')}"
        except DriverError as error:
            return f"No page: {error}"

    def wait_for(self, function: str, *args: Any) -> Any:
        """Wait until this function of JavaScript gives something true."""
        return self.wait(f"{function} {args}", lambda: self.run(function, *args))

    def address(self) -> str:
        return self.run("() => location.pathname")

    def text(self, place: str = "main") -> str:
        return self.run(TEXT, place)

    def sees(self, words: str, place: str = "main") -> None:
        self.wait(
            f"{words!r} in {place}",
            lambda: " ".join(words.split()) in " ".join(self.text(place).split()),
        )

    def find(self, role: str, name: str) -> Any:
        """Wait for the first of this role and name; a name as `*a part of it*`."""
        return self.wait(
            f"{role} {name!r}", lambda: self.run(f"(...args) => ({FOUND})(...args)[0]", role, name)
        )

    def has(self, role: str, name: str) -> bool:
        return bool(self.run(f"(...args) => ({FOUND})(...args).length > 0", role, name))

    def press(self, role: str, name: str) -> None:
        """Press what has this role and name, once nothing lies over it."""
        self.reach(lambda: self.run(f"(...args) => ({FOUND})(...args)[0]", role, name), name)

    def press_at(self, selector: str) -> None:
        """The same for what has no name."""
        self.reach(lambda: self.run("(one) => document.querySelector(one)", selector), selector)

    def reach(self, found: Callable[[], Any], what: str) -> None:
        def pressed() -> bool:
            element = found()
            if element is None or not self.run(REACHED, element):
                return False
            self.touch(element)
            return True

        self.wait(f"to press {what!r}", pressed)

    def fill(self, label: str, text: str) -> None:
        """Type this in place of what a field has."""
        element = self.find("field", label)
        self.run("(field) => { field.focus(); field.select?.(); }", element)
        self.type(text)

    def choose(self, label: str, option: str) -> None:
        element = self.find("field", label)
        self.wait(f"{option!r} of {label!r}", lambda: self.run(CHOOSE, element, option))

    def tick(self, role: str, name: str) -> None:
        self.press(role, name)
        self.wait_for(f"(...args) => ({FOUND})(...args).some((one) => one.checked)", role, name)
