"""Values that nobody means: what breaks programs, in every place that a request has."""

from __future__ import annotations

from random import Random
from typing import Any
from urllib.parse import quote

NUL, HALF = "\0", "\ud800"

#: Of forms and queries; each is text, as a browser or a program could send it.
TEXTS = (
    "", " ", NUL, f"a{NUL}b", "\r\n", "a\r\nSet-Cookie: a=b", "\t", "\x0b", "\x1b[2J", "\x7f",
    "\x85", "\u2028", "\ufeff", "\ufffe", "\uffff", "\ufffd", "e\u0301" * 40, "\u202eabc",
    "\u200b", "🥁" * 60, "İ", "ß" * 200, "٣", "²", "½", "１２", "0", "-0", "-1", "+1", "1.5", "1,5",
    "1e30", "1e-30", "1e999999", "1e308", "NaN", "sNaN", "inf", "-Infinity", "0x10", "1_000",
    "007", " 7 ", "32767", "32768", "65536", str(2**31 - 1), str(2**31), str(2**63 - 1),
    str(2**63), str(-(2**63) - 1), "9" * 30, "9" * 200, "9" * 4299, "9" * 5000, "-" + "9" * 5000,
    "1." + "0" * 5000, "x" * 81, "x" * 201, "x" * 300, "x" * 20_000, "true", "None", "null",
    "undefined", "[]", "{}", '{"a": 1}', "[object Object]", "'", '"', "`", "\\", "\\u0000", "%",
    "%s", "%(name)s", "%n", "%00", "{0}", "{{ 7 }}", "{% debug %}", "${7}",
    "<script>alert(1)</script>", "]]>", "<!--", "&amp;&#0;", "' OR 1=1 --", "; DROP TABLE x",
    "../" * 9, "/etc/passwd", "C:\\con", "file:///etc/passwd", "//evil.example/",
    "javascript:alert(1)", "http://[", "http://[::1", "2026-11-30", "0000-00-00", "0001-01-01",
    "9999-12-31", "10000-01-01", "2026-02-30", "2026-W01-1", "30.11.2026", "1969-12-31T23:59:60Z",
    "00000000-0000-0000-0000-000000000000", "{" + "0" * 32 + "}", "urn:uuid:" + "f" * 32,
    "g" * 32, "4/4", "0/4", "4/0", "4/3", "99/8", "1/64", f"4/4{NUL}", "1",
    "1 & 2 e & a 3 & 4 e & a", "1 " * 3000, "|" * 50, "1 | 2 | 3 | 4", "& & & &",
    "1 trip let trip", "(1)", "1-2-3", "a@b.example", "a@" + "b" * 300 + ".example", "@", "snare",
    "snare,snare", "hi-hat foot", "r0:placement", "r99999:sticking", "r:", ":", "add:", "up:r0",
    "down:r7", "remove:r0", "UTC", "Europe/Berlin", "Mars/Olympus", "../../etc/localtime",
    "xn--a", "on", "off",
)  # fmt: skip

#: Of JSON besides: other kinds of value, and what only an escape can say.
JSON_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1.5, 1e30, 1e300, -1e300, 2**31, 2**63, 2**64, -(2**63) - 1,
    10**299, 10**301, [], {}, [[]], [{}], {"": ""}, [None], {"a": None}, [[0]], [1, 2, 3, 4],
    ["x"] * 200, {"x": {"x": {}}}, HALF, f"a{HALF}b", "\udfff", {HALF: 1}, [HALF], float("inf"),
    float("nan"), NUL, {NUL: NUL}, {"rule": NUL}, {"rule": "placement"},
    [{"rule": "placement", "surfaces": {"anything but": []}}], [{"rule": []}], [{"rule": {}}],
    {"surfaces": [[]]}, {"surfaces": ["snare"], "left_handed": "x"},
)  # fmt: skip

#: Whole bodies that are no JSON of ours.
BODIES = (
    b"", b"{", b"null", b"1", b'"x"', b"[]", b"\xff\xfe", b"\xef\xbb\xbf{}",
    b"[" * 50_000 + b"]" * 50_000, b'{"a":' * 50_000, b'{"id": "\\ud800"}', b'{"\\ud800": 1}',
    b"9" * 5000, b"-", b"NaN", b"[1e999]", b'{"a": 1, "a": 2}', b"{'a': 1}", b"\x00", b"a=1&b=2",
    b"[" + b"0," * 30_000 + b"0]",
)  # fmt: skip

#: Of headers: what a web server lets through, so no NUL and no line break.
HEADERS: dict[str, tuple[str, ...]] = {
    "Accept": (
        "", "*", ";;;", "text/html;q=x", "application/json; indent=99999999", "a/b/c",
        "*/*;q=" + "9" * 400, "\xff",
    ),
    "Accept-Language": ("", "*", "xx-" * 60, "de;q=x", "\xff", "../..", "en;q=" + "1" * 300),
    "Accept-Encoding": ("", "gzip;q=x", "gzip", "\xff", "br;" * 300),
    "If-None-Match": ("", "*", '"', 'W/"x"', '"' + "x" * 9000, "\xff"),
    "If-Modified-Since": (
        "x", "Thu, 99 Foo 99999 99:99:99 GMT", "Mon, 01 Jan 0001 00:00:00 GMT", "9" * 400,
    ),
    "Range": ("bytes=0-", "bytes=9-1", "bytes=" + "9" * 400 + "-", "lines=x"),
    "Referer": ("http://[", "//", "\xff", "http://testserver/" + "x" * 5000),
    "Origin": ("null", "http://[", "http://testserver", "\xff", ""),
    "Host": ("testserver", "evil.example", "[", "a b", "testserver:99999999", "\xff", "[::1"),
    "HX-Request": ("true", "false", "\xff"),
    "HX-Boosted": ("true",),
    "HX-Target": ("\xff", "x" * 5000, "engraving"),
    "HX-Trigger": ("\xff", "{", '{"a": 1}'),
    "HX-Current-URL": ("http://[", "\xff", "%00", "//"),
    "HX-Current-URL-URI-AutoEncoded": ("true",),
    "HX-History-Restore-Request": ("true",),
    "Triggering-Event": ("{", "null", "[" * 5000, "9" * 5000, '"\\ud800"'),
    "X-Forwarded-For": ("", ",,,", "\xff", "1.2.3.4, " * 200, "x" * 5000),
    "X-Forwarded-Proto": ("https", "http,https", "\xff"),
    "X-HTTP-Method-Override": ("DELETE", "\xff"),
    "X-Requested-With": ("XMLHttpRequest",),
    "X-Offline-Copy": ("1", "\xff"),
    "X-CSRFToken": ("", "\xff", "x" * 32, "x" * 64, "x" * 5000),
    "Sec-Fetch-Site": ("cross-site", "none", "\xff"),
    "User-Agent": ("", "\xff", "x" * 5000),
    "Content-Encoding": ("gzip", "\xff"),
}  # fmt: skip

#: Of cookies: quoted ones may say any byte by an octal escape.
COOKIES: dict[str, tuple[str, ...]] = {
    "sessionid": (
        "", "x", '"\\000aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"', "a" * 32, "x" * 5000,
        '"\\355\\240\\200aaaaaaaa"', "../../x" * 4,
    ),
    "csrftoken": ("", "x", '"\\000"', "x" * 32, "x" * 5000),
    "look": ("dark", "light", '"\\000"', "<script>", "x" * 5000),
    "messages": ("x", '"\\000"', "[[]]"),
    "__proto__": ("x",),
}  # fmt: skip

CONTENT_TYPES = (
    "", "x", "text/plain", "application/json", "application/json; charset=base64",
    "application/xml", "application/json; charset=unicode_escape",
    "application/x-www-form-urlencoded", "application/x-www-form-urlencoded; charset=utf-7",
    "application/x-www-form-urlencoded; charset=utf-16", "multipart/form-data",
    "multipart/form-data; boundary=", "multipart/form-data; boundary=\xff",
    "multipart/form-data; boundary=x; charset=base64",
    "multipart/form-data; boundary=" + "x" * 300, "multipart/form-data; boundary*=x''%5Cud800",
    "multipart/mixed; boundary=x", "*/*; q=1", ";;;",
)  # fmt: skip

FILE_NAMES = (
    "", ".", "..", "a.mid", "A.MID", "../../etc/passwd", "C:\\x\\y.mid", f"a{NUL}.mid",
    "x" * 300 + ".mid", "\x0b.mid", "\uffff.mid", "🥁.mid", "%s%n.mid", "{{ 7 }}.mid", "<b>.mid",
    "a.musicxml", "a.mxl", "a.xml", 'a".mid', "a\\.mid", "e\u0301" * 100 + ".mid",
    "\u202edim.exe", " .mid", ".mid", "a.mid.exe", "-rf.mid",
)  # fmt: skip

FILES = (
    b"", b"MThd",
    b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x01\xe0MTrk\x00\x00\x00\x04\x00\xff\x2f\x00",
    b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x80\x00MTrk\xff\xff\xff\xff", b"MThd" + b"\xff" * 200,
    b"PK\x03\x04", b"PK\x05\x06" + b"\0" * 18, b"<?xml version='1.0'?><score-partwise/>",
    b"<!DOCTYPE x [", b"\x89PNG\r\n", b"%PDF-1.4", b"\0" * 500_000, b"x", b"\xff\xfe<\0",
    b"<score-partwise>" * 2000,
)  # fmt: skip

METHODS = (
    "GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND", "get", "",
)  # fmt: skip

#: Of a part of an address; percent signs are escapes there.
PARTS = (
    "0", "1", "-1", "%00", "a%00b", "%ff", "%ed%a0%80", "%0a", "%2e%2e", "%2F", "..", "%", "%zz",
    "٣", str(2**31), str(2**63), "9" * 30, "9" * 5000, "x", "x" * 3000, "f" * 64, "F" * 64,
    "a" * 63 + "g", "00000000-0000-0000-0000-000000000000",
    "FFFFFFFF-FFFF-FFFF-FFFF-FFFFFFFFFFFF", "%F0%9F%A5%81", "null", ".eJw", ".eJyLjgUAARUAuQ:x",
    "WyJhIl0:x", "set-password", "MQ", "____", "=", ":", "a:b:c", "mid", "mp3", "musicxml", "mxl",
    "svg", "pdf", "exe", "snare", "%20", "1%20", "+1", "1e3", "1.0",
)  # fmt: skip


def text(random: Random, good: str = "") -> str:
    """A hostile text, one time in four grown out of a good one."""
    if good and random.random() < 0.25:
        at = random.randrange(len(good) + 1)
        return (
            good[:at]
            + random.choice((NUL, "\x0b", "\uffff", "9" * 40, "%s", "🥁", "-"))
            + good[at:]
        )
    return random.choice(TEXTS)


def json_value(random: Random, good: Any = None) -> Any:
    """A hostile value for JSON: a text, another kind of value, or a good one in the wrong place."""
    if random.random() < 0.4:
        return text(random, good if isinstance(good, str) else "")
    if random.random() < 0.2:
        return random.choice(([good], {"x": good}, [good] * 50, str(good)))
    return random.choice(JSON_VALUES)


def part(random: Random) -> str:
    """A hostile part of an address, escaped where it is no escape itself."""
    return quote(random.choice(PARTS), safe="%")
