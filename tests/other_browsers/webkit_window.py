#!/usr/bin/python3
"""A window of WebKitGTK that WebDriver drives, as small as a phone; for the system's Python.

What its console says goes to standard error. As on iPhones, nothing sounds before a touch.
"""

import os

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")

from gi.repository import Gtk, WebKit2  # noqa: E402

PLACE = os.environ["WEBKIT_PLACE"]
WIDTH, HEIGHT = (int(number) for number in os.environ["WEBKIT_SIZE"].split("x"))


def open_window(session: WebKit2.AutomationSession) -> WebKit2.WebView:
    view = WebKit2.WebView(
        web_context=context,
        is_controlled_by_automation=True,
        settings=WebKit2.Settings(
            enable_write_console_messages_to_stdout=True,
            enable_developer_extras=True,
            media_playback_requires_user_gesture=True,
        ),
    )
    window = Gtk.Window()
    window.set_decorated(False)
    window.set_size_request(WIDTH, HEIGHT)
    window.resize(WIDTH, HEIGHT)
    window.add(view)
    window.show_all()
    return view


def start(_context: WebKit2.WebContext, session: WebKit2.AutomationSession) -> None:
    info = WebKit2.ApplicationInfo()
    info.set_name("MiniBrowser")  # as Selenium asks for it
    info.set_version(WebKit2.get_major_version(), WebKit2.get_minor_version(), 0)
    session.set_application_info(info)
    session.connect("create-web-view", open_window)


context = WebKit2.WebContext(
    website_data_manager=WebKit2.WebsiteDataManager(
        base_data_directory=f"{PLACE}/data", base_cache_directory=f"{PLACE}/cache"
    )
)
context.set_automation_allowed(True)
context.connect("automation-started", start)
Gtk.main()
