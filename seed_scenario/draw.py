"""Draws the pictures of the bowling sessions: a fish in a blue bowl, seen from above, beside a rule in centimetres.

Nobody's fish were photographed. The same fish has the same patches in each picture, and grows; how it lies in the bowl
differs from day to day.
"""

import io
import random
from math import cos, pi, sin

from PIL import Image, ImageDraw

WIDTH_PX, HEIGHT_PX = 480, 330
PX_PER_CM = 5.6
_COLOURS = {
    "white": "#f3efe6",
    "red": "#c8371f",
    "orange": "#e2762a",
    "yellow": "#e3bd3c",
    "grey": "#8d959b",
    "brown": "#7a5230",
    "black": "#25272b",
}
_BOWL, _RIM, _RULE = "#2d6f96", "#1d4c69", "#e8e3d2"
Point = tuple[float, float]


def drawn(fish: str, colours: str, total_cm: float, day: int) -> bytes:
    """A JPEG of one fish on one day.

    Args:
        fish: Its id, which its patches follow from.
        colours: Of the body, then of the patches, as words ("white red").
        total_cm: Its length with the tail fin.
        day: Of the story; how it lies follows from it.
    """
    body, *patches = (_COLOURS[one] for one in colours.split())
    bowl = Image.new("RGB", (WIDTH_PX, HEIGHT_PX), _BOWL)
    pen = ImageDraw.Draw(bowl)
    pen.rectangle((0, 0, WIDTH_PX - 1, HEIGHT_PX - 1), outline=_RIM, width=9)
    _rule(pen)
    lies = random.Random(f"{fish} on {day}")
    layer, outline = _fish(fish, body, patches, total_cm * PX_PER_CM, lies.uniform(-9, 9))
    at = (WIDTH_PX // 2 - layer.width // 2, HEIGHT_PX // 2 - layer.height // 2 - 12 + lies.randint(-10, 10))
    bowl.paste(layer, at, outline)
    out = io.BytesIO()
    bowl.save(out, "JPEG", quality=80)
    return out.getvalue()


def _rule(pen: ImageDraw.ImageDraw) -> None:
    top = HEIGHT_PX - 46
    pen.rectangle((14, top, WIDTH_PX - 15, top + 24), fill=_RULE)
    for cm in range(81):
        x = 16 + cm * PX_PER_CM
        pen.line((x, top, x, top + (14 if cm % 10 == 0 else 9 if cm % 5 == 0 else 5)), fill=_RIM)


def _fish(fish: str, body: str, patches: list[str], length_px: float, bend: float) -> tuple[Image.Image, Image.Image]:
    """The fish with room around it, and the mask of what it covers."""
    width, height = int(length_px) + 8, int(length_px * 0.5)
    layer, mask = Image.new("RGB", (width, height), body), Image.new("L", (width, height), 0)
    cover, paint = ImageDraw.Draw(mask), ImageDraw.Draw(layer)
    middle = height / 2
    for side in (-1, 1):  # the fins lie behind the body
        fin = [(0.27, 0.06), (0.40, 0.30), (0.46, 0.25), (0.38, 0.06)]
        cover.polygon(_placed([(x, side * y) for x, y in fin], length_px, middle, bend), fill=150)
    cover.polygon(_placed(_side(1) + _side(-1)[::-1], length_px, middle, bend), fill=255)
    tail = [(0.80, 0.0), (0.99, 0.12), (0.94, 0.0), (0.99, -0.12)]
    cover.polygon(_placed(tail, length_px, middle, bend), fill=205)
    marks = random.Random(fish)
    for nth, colour in enumerate((patches * 4)[:4]):
        along, across = 0.13 + 0.17 * nth + marks.uniform(-0.05, 0.05), marks.uniform(-0.05, 0.05)
        reach = marks.uniform(0.06, 0.11)
        blot = [
            (along + reach * marks.uniform(0.7, 1.3) * cos(turn), across + reach * 0.8 * sin(turn))
            for turn in (2 * pi * part / 9 for part in range(9))
        ]
        paint.polygon(_placed(blot, length_px, middle, bend), fill=colour)
    for side in (-0.052, 0.052):
        (x, y), *_ = _placed([(0.075, side)], length_px, middle, bend)
        paint.ellipse((x - 3, y - 3, x + 3, y + 3), fill="#101214")
    return layer, mask


def _side(sign: int) -> list[Point]:
    """Half of a carp's outline from above, by shares of its length."""
    shape = [(0.0, 0.01), (0.02, 0.035), (0.08, 0.066), (0.18, 0.092), (0.30, 0.103), (0.45, 0.096), (0.6, 0.07)]
    return [(x, sign * y) for x, y in [*shape, (0.75, 0.035), (0.84, 0.02)]]


def _placed(points: list[Point], length_px: float, middle_px: float, bend_px: float) -> list[Point]:
    """In pixels; the body bends a little, as a living one does."""
    return [(4 + x * length_px, middle_px + y * length_px + bend_px * sin(pi * x * 1.6)) for x, y in points]
