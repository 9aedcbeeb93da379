"""The site's icon as PNG files, drawn from the same shapes as `static/img/favicon.svg`.

Phones want bitmaps for their home screen. A picture is an array of height x width x 4 bytes
(red, green, blue, opacity); positions are in the units of the SVG, a square of 32.
"""

import struct
import zlib

import numpy as np

SIDE = 32
CORNER = 6
GROUND = (0x9A, 0x3A, 0x1C)
LINES = (0xFB, 0xF9, 0xF4)
#: Strokes from end to end, and their widths: two lines of the staff, and a barline.
STROKES = (((8, 11), (24, 11), 2.5), ((8, 21), (24, 21), 2.5), ((16, 5), (16, 27), 1.5))
HEAD_RADII = (5, 3.6)
HEAD_TURN = np.radians(-20)
FINE = 4  # samples each way within a pixel
#: What a phone cuts a maskable icon to may leave a circle of four fifths; the drawing, whose
#: farthest points are 11 units from the middle, fits that as it is, so only the ground grows.
ICONS = {
    "icon-192.png": (192, False),
    "icon-512.png": (512, False),
    "icon-maskable-512.png": (512, True),
}


def icon_png(pixels: int, *, full_bleed: bool) -> bytes:
    """Return the icon as a PNG file of pixels x pixels; `full_bleed` leaves no corner open."""
    step = SIDE / (pixels * FINE)
    places = (np.arange(pixels * FINE) + 0.5) * step
    x, y = np.meshgrid(places, places)
    ground = np.ones_like(x) if full_bleed else _inside_rounded_square(x, y)
    drawn = _near_a_stroke(x, y) | _inside_head(x, y)
    share_drawn = _shares(drawn, pixels)[..., None]
    colour = np.array(GROUND) * (1 - share_drawn) + np.array(LINES) * share_drawn
    opacity = 255 * _shares(ground, pixels)[..., None]
    return _png(np.rint(np.concatenate([colour, opacity], axis=2)).astype(np.uint8))


def _shares(inside: np.ndarray, pixels: int) -> np.ndarray:
    """Return for each pixel how much of it is inside, from 0 to 1."""
    shares: np.ndarray = inside.reshape(pixels, FINE, pixels, FINE).mean(axis=(1, 3))
    return shares


def _inside_rounded_square(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    middle, straight = SIDE / 2, SIDE / 2 - CORNER
    beyond_x = np.maximum(np.abs(x - middle) - straight, 0)
    beyond_y = np.maximum(np.abs(y - middle) - straight, 0)
    return np.hypot(beyond_x, beyond_y) <= CORNER


def _near_a_stroke(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Say which places are on a stroke; all are upright or level, with round ends."""
    near = np.zeros(x.shape, dtype=bool)
    for (left, top), (right, bottom), width in STROKES:
        away = np.hypot(x - np.clip(x, left, right), y - np.clip(y, top, bottom))
        near |= away <= width / 2
    return near


def _inside_head(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    right, down = x - SIDE / 2, y - SIDE / 2
    along = right * np.cos(HEAD_TURN) + down * np.sin(HEAD_TURN)
    across = -right * np.sin(HEAD_TURN) + down * np.cos(HEAD_TURN)
    inside: np.ndarray = (along / HEAD_RADII[0]) ** 2 + (across / HEAD_RADII[1]) ** 2 <= 1
    return inside


def _png(picture: np.ndarray) -> bytes:
    """Write a picture as PNG (ISO/IEC 15948): 8 bits, colour with opacity, no interlacing."""
    height, width, _ = picture.shape
    rows = b"".join(b"\0" + row.tobytes() for row in picture)
    header = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in chunks)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
