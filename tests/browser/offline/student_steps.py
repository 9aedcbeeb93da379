"""What a student does, and what happens to their phone."""

from playwright.sync_api import Locator, Page, expect

from tests.browser.fill_steps import open_form

COPIES = """async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith("fillwright-pages-"));
    const opened = await Promise.all(names.map((name) => caches.open(name)));
    const keys = await Promise.all(opened.map((cache) => cache.keys()));
    return keys.flat().map(({ url }) => new URL(url).pathname).sort();
}"""


def copies(page: Page) -> list[str]:
    """The addresses of which the device has copies."""
    return page.evaluate(COPIES)


def wait_until(page: Page, becomes_true: str) -> None:
    """Wait until an async function of the page returns true; Playwright waits for no promise."""
    page.evaluate(
        """async (source) => {
            const isTrue = new Function(`return (${source})`)();
            for (let tries = 0; !(await isTrue()); tries += 1) {
                if (tries === 1200) throw new Error(`Never true: ${source}`);
                await new Promise((resolve) => setTimeout(resolve, 50));
            }
        }""",
        becomes_true,
    )


def wait_for_copies(page: Page, *paths: str) -> None:
    """Wait until the worker is in charge and has copied these pages."""
    wait_until(
        page,
        f"async () => {{ const all = await ({COPIES})(); return navigator.serviceWorker.controller"
        f" && {list(paths)}.every((one) => all.includes(one)); }}",
    )


def log(page: Page, minutes: str) -> None:
    open_form(page)
    page.get_by_label("Minutes", exact=True).fill(minutes)
    page.get_by_role("button", name="Save", exact=True).last.click()


def state(page: Page) -> Locator:
    """The line that says what waits on this device."""
    return page.locator("[data-device-state]")


def wait_until_sent(page: Page) -> None:
    """Wait until nothing waits on this device any more, and the page says so."""
    wait_until(
        page,
        """async () => {
            const page = document.querySelector('script[src*="offline/offline_page"]').src;
            const store = await import(page.replace("offline_page.js", "store.js"));
            return (await store.all()).length === 0;
        }""",
    )
    expect(state(page)).to_be_hidden()


def set_network(page: Page, there_is_one: bool) -> None:
    page.context.set_offline(not there_is_one)
