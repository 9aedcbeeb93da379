"""Firefox by WebDriver BiDi, which it speaks itself; with a sound card that nobody hears."""

import base64
import json
import os
import subprocess
from contextlib import suppress
from pathlib import Path
from typing import Any

from selenium.webdriver.remote.websocket_connection import WebSocketConnection

from tests.other_browsers.visitor import PATIENCE, DriverError, Visitor

NEEDS = ("firefox-esr", "pulseaudio")
#: Nothing is looked up outside, and no page of the browser's own is loaded.
PREFERENCES = {
    "app.normandy.enabled": False,
    "app.update.enabled": False,
    "browser.aboutwelcome.enabled": False,
    "browser.newtabpage.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.page": 0,
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.systemAddon.update.enabled": False,
    "extensions.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,#remote-settings-dummy/v1",
    "toolkit.telemetry.enabled": False,
}


class FirefoxVisitor(Visitor):
    """A headless Firefox whose page has this size."""

    def __init__(self, site: str, place: Path, size: str = "390x844") -> None:
        self.site, self.place, self.processes = site, place, list[subprocess.Popen]()
        self.errors: list[str] = []
        profile = place / "profile"
        profile.mkdir(parents=True)
        lines = [
            f"user_pref({json.dumps(name)}, {json.dumps(value)});"
            for name, value in PREFERENCES.items()
        ]
        profile.joinpath("user.js").write_text("\n".join(lines))
        try:
            self._start_sound()
            self._start(profile)
            self._connect(profile / "WebDriverBiDiServer.json", size)
        except BaseException:
            self._end()
            raise

    def _launch(self, command: list[str], **more: str) -> None:
        with (self.place / f"{command[0]}.log").open("w") as log:
            self.processes.append(
                subprocess.Popen(
                    command,
                    stdout=log,
                    stderr=log,
                    env={**os.environ, "HOME": str(self.place), **more},
                )
            )

    def _start_sound(self) -> None:
        """Where Firefox finds no sound card, its clock of audio stands still."""
        self.socket = self.place / "sound"
        runtime = {"XDG_RUNTIME_DIR": str(self.place), "PULSE_RUNTIME_PATH": str(self.place)}
        self._launch(
            [
                "pulseaudio",
                "-n",
                "--exit-idle-time=-1",
                "--use-pid-file=no",
                "--load=module-null-sink",
                f"--load=module-native-protocol-unix socket={self.socket} auth-anonymous=1",
            ],
            **runtime,
        )
        self.wait("the sound card", lambda: self.socket.exists() or self._ended())

    def _start(self, profile: Path) -> None:
        command = ["firefox-esr", "--headless", "--no-remote", "--remote-debugging-port=0"]
        self._launch([*command, "--profile", str(profile)], PULSE_SERVER=f"unix:{self.socket}")

    def _ended(self) -> bool:
        return any(process.poll() is not None for process in self.processes)

    def _connect(self, told: Path, size: str) -> None:
        text = self.wait("Firefox", lambda: told.exists() and told.read_text())
        where = json.loads(text)
        url = f"ws://{where['ws_host']}:{where['ws_port']}/session"
        self.connection = WebSocketConnection(url, PATIENCE, 0.01)
        self.send("session.new", capabilities={})
        self.page = self.send("browsingContext.getTree")["contexts"][0]["context"]
        width, height = (int(number) for number in size.split("x"))
        self.send(
            "browsingContext.setViewport",
            context=self.page,
            viewport={"width": width, "height": height},
        )
        self.connection.callbacks["log.entryAdded"] = [self._hear]
        self.send("session.subscribe", events=["log.entryAdded"])

    def _hear(self, entry: dict[str, Any]) -> None:
        if entry["level"] == "error":
            self.errors.append(entry["text"])

    def send(self, method: str, **params: Any) -> Any:
        answer = self.connection.send_cmd(method, params)
        if answer.get("type") == "error":
            raise DriverError(f"{answer['error']}: {answer['message']}")
        return answer["result"]

    def goto(self, path: str) -> None:
        self.send(
            "browsingContext.navigate", context=self.page, url=self.site + path, wait="complete"
        )

    def run(self, function: str, *args: Any) -> Any:
        answer = self.send(
            "script.callFunction",
            functionDeclaration=function,
            awaitPromise=True,
            target={"context": self.page},
            arguments=[_sent(value) for value in args],
            userActivation=False,
        )
        if answer["type"] == "exception":
            raise DriverError(answer["exceptionDetails"]["text"])
        return _received(answer["result"])

    def touch(self, element: Any) -> None:
        origin = {"type": "element", "element": element}
        self._perform(
            "pointer",
            {"type": "pointerMove", "x": 0, "y": 0, "origin": origin},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        )

    def type(self, text: str) -> None:
        presses = [{"type": kind, "value": key} for key in text for kind in ("keyDown", "keyUp")]
        self._perform("key", *presses)

    def _perform(self, kind: str, *actions: dict[str, Any]) -> None:
        source = {"type": kind, "id": kind, "actions": list(actions)}
        self.send("input.performActions", context=self.page, actions=[source])

    def picture(self, path: Path) -> None:
        shot = self.send("browsingContext.captureScreenshot", context=self.page)
        path.write_bytes(base64.b64decode(shot["data"]))

    def complaints(self) -> list[str]:
        return self.errors

    def close(self) -> None:
        with suppress(Exception):  # it is ended below, whether it hears or not
            self.send("browser.close")
            self.connection.close()
        self._end()

    def _end(self) -> None:
        for process in reversed(self.processes):
            process.kill()  # what it has started ends with it
            process.wait()


def _sent(value: Any) -> dict[str, Any]:
    """Return a value as BiDi sends it."""
    if isinstance(value, dict) and "sharedId" in value:
        return value
    if value is None:
        return {"type": "null"}
    if isinstance(value, bool):
        return {"type": "boolean", "value": value}
    if isinstance(value, int | float):
        return {"type": "number", "value": value}
    if isinstance(value, list):
        return {"type": "array", "value": [_sent(one) for one in value]}
    return {"type": "string", "value": value}


def _received(value: dict[str, Any]) -> Any:
    """Return what BiDi has sent as plain values; an element stays a handle."""
    kind = value["type"]
    if kind == "node":
        return {"sharedId": value["sharedId"]}
    if kind in ("array", "nodelist"):
        return [_received(one) for one in value["value"]]
    if kind == "object":
        return {key: _received(one) for key, one in value["value"]}
    return value.get("value")
