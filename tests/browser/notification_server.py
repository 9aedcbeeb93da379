#!/usr/bin/python3
"""What shows messages on a Linux desktop, for the system's Python: it shows none, and knows all.

It stands on the session's bus for programs to find (Desktop Notifications Specification 1.2, by the
freedesktop.org project). By lines: `list` is answered by those that stand, as JSON; `touch 3` is a
touch on the third that ever came.
"""

import json
import sys

from gi.repository import Gio, GLib

NAME, PLACE = "org.freedesktop.Notifications", "/org/freedesktop/Notifications"
INTERFACE = f"""
<node><interface name="{NAME}">
  <method name="GetCapabilities"><arg direction="out" type="as"/></method>
  <method name="GetServerInformation">
    <arg direction="out" type="s"/><arg direction="out" type="s"/>
    <arg direction="out" type="s"/><arg direction="out" type="s"/>
  </method>
  <method name="Notify">
    <arg direction="in" type="s"/><arg direction="in" type="u"/><arg direction="in" type="s"/>
    <arg direction="in" type="s"/><arg direction="in" type="s"/><arg direction="in" type="as"/>
    <arg direction="in" type="a{{sv}}"/><arg direction="in" type="i"/>
    <arg direction="out" type="u"/>
  </method>
  <method name="CloseNotification"><arg direction="in" type="u"/></method>
  <signal name="ActionInvoked"><arg type="u"/><arg type="s"/></signal>
  <signal name="NotificationClosed"><arg type="u"/><arg type="u"/></signal>
</interface></node>"""
#: Why one went: a touch on it, or the program that had it shown.
DISMISSED, CLOSED = 2, 3

standing: dict[int, dict[str, object]] = {}
came: list[int] = []


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def signal(name: str, what: GLib.Variant) -> None:
    bus.emit_signal(None, PLACE, NAME, name, what)


def called(_bus, _sender, _place, _interface, method, parameters, answer) -> None:
    given = parameters.unpack()
    if method == "GetCapabilities":
        answer.return_value(GLib.Variant("(as)", (["actions", "body"],)))
    elif method == "GetServerInformation":
        answer.return_value(GLib.Variant("(ssss)", ("for tests", "us", "1", "1.2")))
    elif method == "Notify":
        _, replaced, _, title, body, *_ = given
        number = replaced if replaced in standing else len(came) + 1
        came.append(number)
        standing[number] = {"number": number, "title": title, "body": body}
        answer.return_value(GLib.Variant("(u)", (number,)))
    else:
        answer.return_value(None)
        end(given[0], CLOSED)


def end(number: int, why: int) -> None:
    if standing.pop(number, None):
        signal("NotificationClosed", GLib.Variant("(uu)", (number, why)))


def touch(number: int) -> None:
    signal("ActionInvoked", GLib.Variant("(us)", (number, "default")))
    end(number, DISMISSED)


def asked(*_: object) -> bool:
    what, _, number = sys.stdin.readline().strip().partition(" ")
    if what == "touch":
        touch(int(number))
    elif what == "list":
        say(json.dumps(list(standing.values())))
    else:
        loop.quit()
    return True


def found(connection: Gio.DBusConnection, _name: str) -> None:
    say("ready")


loop = GLib.MainLoop()
bus = Gio.bus_get_sync(Gio.BusType.SESSION)
interface = Gio.DBusNodeInfo.new_for_xml(INTERFACE).interfaces[0]
bus.register_object(PLACE, interface, called, None, None)
Gio.bus_own_name_on_connection(bus, NAME, Gio.BusNameOwnerFlags.NONE, found, None)
GLib.io_add_watch(sys.stdin.fileno(), GLib.IO_IN | GLib.IO_HUP, asked)
loop.run()
