"""Records what the scripts of today's pages send, as a phone without a network keeps it.

Run after `make_studio`, on the studio that it left, with the same environment:

    python -m tests.upgrade.make_device folder

A real browser opens the pages of one student, the network is taken away, things are logged, and
what the scripts then try to send is caught before it arrives: the studio stays as it was. Leaves
`device.json` in the folder: who sent it, and each request's method, address and body.
"""

import json
import os
import re
import socket
import subprocess
import sys
import time
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Route, expect, sync_playwright

PORT = int(os.environ.get("PORT", "8765"))
SITE = f"http://127.0.0.1:{PORT}"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
WHO = "Fenna"
WRITES = {"POST", "PATCH"}


class Caught:
    """Requests to the API that would write; none arrives.

    An entry is answered as the server would, so that the device goes on to what belongs to it.
    """

    def __init__(self, context: BrowserContext) -> None:
        self.sent: list[dict] = []
        context.route(re.compile("/api/"), self.look)

    def look(self, route: Route) -> None:
        request = route.request
        if request.method not in WRITES:
            route.continue_()
            return
        address = request.url.removeprefix(SITE)
        one = {"method": request.method, "address": address, "body": request.post_data}
        if one not in self.sent:
            self.sent.append(one)
        if address == "/api/practice-entries/":
            route.fulfill(status=201, content_type="application/json", body=request.post_data)
        else:
            route.abort()


def main(folder: Path) -> None:
    facts = json.loads((folder / "facts.json").read_text())
    pk, one = next((pk, one) for pk, one in facts["students"].items() if one["nickname"] == WHO)
    fills = facts["told"]["by_student"][pk]["fills"]
    fill = fills[0]["id"]
    holds, practised = (
        next(one["id"] for one in fills if one["state"] == state)
        for state in ("holds", "practising")
    )
    with sync_playwright() as browsers:
        browser = browsers.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        context = browser.new_context(base_url=SITE, service_workers="block")
        context.add_cookies([{"name": "sessionid", "value": one["session"], "url": SITE}])
        caught = Caught(context)
        page = context.new_page()
        logs_in_the_basement(page, fill)
        says_later(context.new_page(), practised, "Mark as mastered")
        says_later(context.new_page(), holds, "Take back: not mastered yet")
        records(context.new_page(), fill)
        plays_the_day(context.new_page())
        browser.close()
    assert {"POST", "PATCH"} == {one["method"] for one in caught.sent}, caught.sent
    kept = {"student": pk, "requests": caught.sent}
    (folder / "device.json").write_text(json.dumps(kept, indent=1) + "\n")


def logs_in_the_basement(page: Page, fill: int) -> None:
    page.goto(f"/fills/{fill}/")
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    page.get_by_label("Minutes", exact=True).fill("7.5")
    page.get_by_label("Times through").fill("12")
    page.get_by_label("Of these clean").fill("9")
    page.get_by_role("button", name="Log it", exact=True).last.click()
    expect(page.locator("#messages")).to_contain_text("Kept on this device")
    page.context.set_offline(False)
    page.wait_for_timeout(5000)


def says_later(page: Page, fill: int, button: str) -> None:
    page.goto(f"/fills/{fill}/")
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    page.get_by_role("button", name=button).click()
    expect(page.locator("#messages")).to_contain_text("Kept on this device")
    page.context.set_offline(False)
    page.wait_for_timeout(20_000)


def records(page: Page, fill: int) -> None:
    page.goto(f"/takes/record/?fill={fill}")
    page.get_by_label("Click, with a bar counted in").uncheck()
    page.get_by_role("button", name="Record", exact=True).click()
    for _ in range(4):
        page.get_by_role("button", name="snare").first.click()
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_text("Your strokes are still here")).to_be_visible()


def plays_the_day(page: Page) -> None:
    page.set_default_timeout(60_000)
    page.goto("/today/play/?minutes=1")
    page.locator("[data-run-play]").click()
    expect(page.locator("[data-run-title]")).not_to_have_text("Loosen up", timeout=120_000)
    again = re.compile(r"^2/")
    expect(page.locator("[data-run-loop]")).to_have_text(again, timeout=120_000)
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("button", name="Finish").click()
    page.get_by_label(re.compile("^Clean, of")).first.fill("1")
    page.get_by_role("button", name="Save it").click()
    page.wait_for_timeout(10_000)


def wait_for_the_server() -> None:
    for _ in range(600):
        with socket.socket() as caller:
            if caller.connect_ex(("127.0.0.1", PORT)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError(SITE)


if __name__ == "__main__":
    server = subprocess.Popen(
        [sys.executable, "manage.py", "runserver", "--noreload", f"127.0.0.1:{PORT}"],
        env=os.environ | {"DEBUG": "true"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        wait_for_the_server()
        main(Path(sys.argv[1]))
    finally:
        server.terminate()
        server.wait()
