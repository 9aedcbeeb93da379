"""A desktop on which a browser shows messages of a site, and a touch on one reaches the browser."""

import json
import shutil
import subprocess
from pathlib import Path

SERVER = Path(__file__).parent / "notification_server.py"
#: The browser with windows: the one without (chromium-headless-shell) says of every site that it
#: may show no messages, whatever its settings are.
BROWSER = "/usr/bin/chromium"
NEEDS = (BROWSER, "dbus-daemon", "/usr/bin/python3")
#: A bus for whoever runs the tests, which starts nothing by itself.
BUS = """<busconfig><type>session</type><listen>unix:tmpdir=/tmp</listen>
<policy context="default"><allow send_destination="*" eavesdrop="true"/><allow own="*"/>
<allow eavesdrop="true"/></policy></busconfig>"""


def missing() -> str:
    """What is not installed here, "" where all is."""
    programs = [name for name in NEEDS if not shutil.which(name)]
    if programs:
        return f"no {programs[0]}: .ci/run installs it"
    found = subprocess.run(["/usr/bin/python3", "-c", "import gi"], check=False)
    return "no python3-gi: .ci/run installs it" if found.returncode else ""


class Desktop:
    """A bus of its own, and what shows messages there; `address` is for the browser."""

    def __init__(self, place: Path) -> None:
        settings = place / "bus.xml"
        settings.write_text(BUS)
        command = ["dbus-daemon", "--nofork", "--print-address", f"--config-file={settings}"]
        self.bus = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        self.address = self._line(self.bus)
        self.server = subprocess.Popen(
            [str(SERVER)],
            env={"DBUS_SESSION_BUS_ADDRESS": self.address},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._line(self.server) == "ready"

    def shown(self) -> list[dict[str, str]]:
        """The messages that stand there: `number`, `title` and `body`."""
        self._say("list")
        return json.loads(self._line(self.server))

    def touch(self, number: str) -> None:
        """Touch one, as with a finger."""
        self._say(f"touch {number}")

    def end(self) -> None:
        """End both, in the order in which they lean on each other."""
        for process in (self.server, self.bus):
            process.terminate()
            process.communicate()

    def _say(self, line: str) -> None:
        assert self.server.stdin
        self.server.stdin.write(f"{line}\n")
        self.server.stdin.flush()

    def _line(self, process: subprocess.Popen[str]) -> str:
        assert process.stdout
        return process.stdout.readline().strip()
