#!/usr/bin/env python3
"""Draws the photos of the demo: six of its logbook, one of a page of its manual. They are our own: every pixel comes from this file.

Each picture is a height map, a colour map and a gloss map, lit by one lamp and put through a poor camera
(blur, grain, dark corners). Needs Pillow and numpy; writes beside itself; the same pixels on every run.
"""

from itertools import pairwise
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont, ImageOps

HERE = Path(__file__).parent
SMALLEST, LARGEST = 25_000, 60_000  # bytes of one file


class Scene:
    """Height in pixels, colour 0..1 and gloss 0..1, each painted by shapes."""

    def __init__(self, seed, width=1200, height=900):
        self.rng = np.random.default_rng(seed)
        self.size = (height, width)
        self.y, self.x = np.mgrid[0:height, 0:width].astype(np.float64)
        self.high = np.zeros(self.size)
        self.colour = np.ones((height, width, 3))
        self.gloss = np.zeros(self.size)

    def noise(self, cell, octaves=4):
        """Cloudy noise of 0..1; `cell` is the size in pixels of the coarsest blob."""
        total, weight = np.zeros(self.size), 0.0
        for octave in range(octaves):
            step = max(cell / 2**octave, 1.5)
            small = self.rng.random((int(self.size[0] / step) + 3, int(self.size[1] / step) + 3))
            grown = Image.fromarray((small * 255).astype(np.uint8)).resize(self.size[::-1], Image.Resampling.BICUBIC)
            total += np.asarray(grown) / 255 * 0.55**octave
            weight += 0.55**octave
        return total / weight

    def paint(self, mask, colour, gloss=None, mottle=None):
        """Lays a colour over `mask` (0..1); `mottle` (0..1 noise) makes it uneven."""
        colour = np.array(colour, dtype=np.float64)
        layer = colour * np.ones((*self.size, 3))
        if mottle is not None:
            layer = layer * (0.55 + 0.9 * mottle)[..., None]
        self.colour += (layer - self.colour) * mask[..., None]
        if gloss is not None:
            self.gloss += (gloss - self.gloss) * mask

    def raise_to(self, mask, high):
        self.high += (high - self.high) * mask

    def drawn(self, draw):
        """A mask that Pillow draws: `draw` gets an ImageDraw on black, paints white."""
        sheet = Image.new("L", self.size[::-1], 0)
        draw(ImageDraw.Draw(sheet))
        return blur(np.asarray(sheet) / 255.0, 0.8)

    def lit(self, lamp, ambient=0.22, depth=1.0, warm=(1.0, 0.95, 0.86)):
        """Lights the scene; `lamp` is (x, y, height) in pixels."""
        slope_y, slope_x = np.gradient(blur(self.high, 0.7) * depth)
        length = np.sqrt(slope_x**2 + slope_y**2 + 1)
        normal = np.stack([-slope_x / length, -slope_y / length, 1 / length], axis=-1)
        to_lamp = np.stack([lamp[0] - self.x, lamp[1] - self.y, lamp[2] - self.high], axis=-1)
        far = np.linalg.norm(to_lamp, axis=-1)
        to_lamp /= far[..., None]
        diffuse = np.clip((normal * to_lamp).sum(-1), 0, 1)
        half = to_lamp + np.array([0.0, 0.0, 1.0])
        half /= np.linalg.norm(half, axis=-1)[..., None]
        shine = np.clip((normal * half).sum(-1), 0, 1) ** (8 + 60 * self.gloss) * self.gloss
        nook = np.clip(1 + (self.high - blur(self.high, 22)) / 45, 0.35, 1.15)
        fall = 1 / (1 + (far / (1.5 * max(self.size))) ** 2)
        light = (ambient + 0.95 * diffuse * fall) * nook
        picture = self.colour * light[..., None] * np.array(warm) + (0.85 * shine * fall)[..., None]
        return picture


def blur(values, radius):
    """Three box blurs: near enough to a Gaussian."""
    size = max(round(radius * 1.2), 1)
    for axis in (0, 1):
        for _ in range(3):
            pad = [(0, 0)] * values.ndim
            pad[axis] = (size + 1, size)
            total = np.cumsum(np.pad(values, pad, mode="edge"), axis=axis)
            ends = [slice(None)] * values.ndim
            starts = [slice(None)] * values.ndim
            ends[axis], starts[axis] = slice(2 * size + 1, None), slice(None, -(2 * size + 1))
            values = (total[tuple(ends)] - total[tuple(starts)]) / (2 * size + 1)
    return values


def soft(distance, edge=2.0):
    """1 inside (negative distance), 0 outside, smooth over `edge` pixels."""
    t = np.clip(0.5 - distance / (2 * edge), 0, 1)
    return t * t * (3 - 2 * t)


def circle(s, cx, cy, r):
    return np.hypot(s.x - cx, s.y - cy) - r


def box(s, cx, cy, half_w, half_h, turn=0.0, corner=0.0):
    u, v = turned(s, cx, cy, turn)
    qx, qy = np.abs(u) - half_w + corner, np.abs(v) - half_h + corner
    return np.hypot(np.maximum(qx, 0), np.maximum(qy, 0)) + np.minimum(np.maximum(qx, qy), 0) - corner


def turned(s, cx, cy, turn):
    c, n = np.cos(turn), np.sin(turn)
    return (s.x - cx) * c + (s.y - cy) * n, -(s.x - cx) * n + (s.y - cy) * c


def hexagon(s, cx, cy, r, turn=0.0):
    angle = np.arctan2(s.y - cy, s.x - cx) - turn
    nearest = (angle + np.pi / 6) % (np.pi / 3) - np.pi / 6
    return np.hypot(s.x - cx, s.y - cy) * np.cos(nearest) - r


def steel_bolt(s, cx, cy, r, turn, rust=0.4, lift=26):
    """A hexagon head seen from above, with its washer."""
    grain = s.noise(30)
    washer = soft(circle(s, cx, cy, r * 1.35))
    s.raise_to(washer, s.high + lift * 0.3)
    s.paint(washer, (0.34, 0.31, 0.28), 0.35, grain)
    head = hexagon(s, cx, cy, r, turn)
    s.raise_to(soft(head, 3), s.high + lift * np.clip(-head / 7, 0, 1) + lift)
    s.paint(soft(head), (0.40 + 0.2 * rust, 0.36, 0.33 - 0.2 * rust), 0.45, grain)


def rusty(s, mask, strength=1.0, cell=90):
    """Rust on `mask`: brown cloud, orange bloom, pits."""
    cloud, fine = s.noise(cell), s.noise(9, 3)
    s.paint(mask * strength, (0.30, 0.17, 0.10), 0.04, cloud)
    s.paint(mask * strength * np.clip((cloud - 0.5) * 5, 0, 1), (0.50, 0.25, 0.09), 0.02, fine)
    s.high += mask * strength * (fine - 0.5) * 5


def cracks(s, starts, length, wander, width):
    """Jagged strokes; each start is (x, y, direction)."""

    def draw(pen):
        for x, y, way in starts:
            for step in range(int(length / 9)):
                way += s.rng.normal(0, wander)
                nx, ny = x + 9 * np.cos(way), y + 9 * np.sin(way)
                pen.line((x, y, nx, ny), fill=255, width=max(1, int(width * (1 - step * 9 / length) + 0.7)))
                x, y = nx, ny

    return s.drawn(draw)


def camera(picture, seed, softness=0.9, focus=None):
    """Exposure, lens and grain. `focus` (0..1) is where the picture is sharp; the rest goes soft."""
    rng = np.random.default_rng(seed)
    picture = np.clip(picture, 0, 4)
    if focus is not None:
        hazy = blur(picture, 9)
        picture = hazy + (picture - hazy) * focus[..., None]
    picture = blur(picture, softness)
    glow = blur(np.clip(picture - 0.75, 0, 1), 18)
    picture = picture + 0.5 * glow
    height, width = picture.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    picture *= (1 - 0.42 * np.clip(x**2 + y**2 - 0.2, 0, 2) / 1.8)[..., None]
    picture = 1 - np.exp(-1.9 * picture)
    grain = blur(rng.normal(0, 1, (height, width)), 0.6)[..., None] + 0.5 * blur(
        rng.normal(0, 1, (height, width, 3)), 1.5
    )
    picture = picture ** (1 / 1.35) + grain * 0.022
    return Image.fromarray((np.clip(picture, 0, 1) * 255).astype(np.uint8))


def save(image, name, orientation=None):
    """As JPEG of a phone's size; `orientation` is the EXIF value under which the stored pixels stand upright."""
    exif = Image.Exif()
    if orientation is not None:
        exif[0x0112] = orientation
    for quality in (88, 82, 76, 70, 64, 58, 52, 46, 40):
        image.save(HERE / name, quality=quality, subsampling=2, optimize=True, exif=exif)
        size = (HERE / name).stat().st_size
        if size <= LARGEST:
            break
    if not SMALLEST <= size <= LARGEST:
        raise SystemExit(f"{name}: {size} bytes")
    print(f"{name}: {image.size[0]} x {image.size[1]}, {size} bytes, quality {quality}")


def sump_plug():
    s = Scene(11)
    # Cardboard with oil stains.
    fibre = s.noise(6, 2)
    s.paint(np.ones(s.size), (0.62, 0.50, 0.36), 0.0, 0.35 + 0.3 * s.noise(300) + 0.15 * fibre)
    s.high += 1.2 * fibre + 1.5 * np.sin(s.y / 5.5 + s.x / 90)
    stain = soft(circle(s, 700, 520, 330) + 160 * (s.noise(160) - 0.5), 30)
    s.paint(stain * 0.75, (0.16, 0.11, 0.07), 0.45)
    turn = -0.22
    u, v = turned(s, 560, 460, turn)
    # Shadow under the plug.
    s.colour *= (1 - 0.65 * blur(soft(box(s, 585, 500, 330, 105, turn, 60), 20), 20))[..., None]
    # Threaded shank: a cylinder with ridges, tapering to its end.
    radius = np.where(u < 250, 92, 92 - (u - 250) * 0.55)
    shank = soft(np.maximum(np.abs(v) - radius, np.maximum(-u - 20, u - 330)), 2)
    ridge = np.abs(((u + v * 0.10) / 27) % 1 - 0.5) * 2
    drum = np.sqrt(np.clip(radius**2 - v**2, 0, None))
    s.raise_to(shank, drum + 13 * ridge * (u < 300))
    s.paint(shank, (0.46, 0.45, 0.44), 0.55, 0.3 + 0.4 * s.noise(50))
    s.paint(shank * np.clip(0.75 - ridge, 0, 1), (0.10, 0.08, 0.06), 0.5)
    # Copper washer, then the head with three visible faces.
    washer = soft(np.maximum(np.abs(v) - 150, np.abs(u + 36) - 13), 2)
    s.raise_to(washer, np.sqrt(np.clip(150.0**2 - v**2, 0, None)))
    s.paint(washer, (0.66, 0.36, 0.20), 0.6, 0.3 + 0.4 * s.noise(20))
    head = soft(np.maximum(np.abs(v) - 165, np.maximum(u + 50, -u - 205)), 3)
    faces = np.where(np.abs(v) < 82, 150, 150 - (np.abs(v) - 82) * 1.35)
    s.raise_to(head, faces - 0.25 * np.clip(-u - 160, 0, 60) ** 1.2)
    s.paint(head, (0.42, 0.40, 0.39), 0.5, 0.25 + 0.5 * s.noise(70))
    s.paint(head * soft(s.noise(120) - 0.42, 0.05) * 0.6, (0.12, 0.09, 0.06), 0.7)
    # Grey fuzz at the end: short hairs in all directions.
    tip_x, tip_y = 560 + 318 * np.cos(turn), 460 + 318 * np.sin(turn)

    def hairs(pen):
        for _ in range(1500):
            along, across = s.rng.normal(-16, 22), s.rng.normal(0, 34)
            x = tip_x + along * np.cos(turn) - across * np.sin(turn)
            y = tip_y + along * np.sin(turn) + across * np.cos(turn)
            way, size = s.rng.uniform(0, 6.28), s.rng.uniform(4, 15)
            pen.line((x, y, x + size * np.cos(way), y + size * np.sin(way)), fill=int(s.rng.uniform(90, 230)))

    fuzz = s.drawn(hairs)
    s.high += 9 * fuzz
    s.paint(np.clip(fuzz * 1.3, 0, 1), (0.30, 0.30, 0.31), 0.35, s.noise(8, 2))
    # Three bright slivers.
    slivers = s.drawn(
        lambda pen: [
            pen.line(ends, fill=255, width=5)
            for ends in ((900, 345, 926, 330), (938, 402, 960, 412), (922, 470, 950, 454))
        ]
    )
    s.high += 12 * slivers
    s.paint(np.clip(slivers * 1.4, 0, 1), (1.0, 0.98, 0.92), 1.0)
    save(camera(s.lit((250, -150, 620)), 1, focus=soft(circle(s, 650, 450, 520), 260)), "sump-plug-swarf.jpg")


def oil_cap():
    s = Scene(22)
    # Painted rocker cover, dirty, with two ribs.
    s.paint(np.ones(s.size), (0.20, 0.23, 0.24), 0.35, s.noise(260))
    for across in (90, 1120):
        rib = np.abs(s.x - across + 0.12 * (s.y - 450)) - 30
        s.raise_to(soft(rib, 8), 38)
    grime = np.clip((s.noise(140) - 0.45) * 4, 0, 1)
    s.paint(grime * 0.8, (0.10, 0.08, 0.06), 0.15, s.noise(12, 2))
    s.high += 3 * grime * s.noise(8, 2)
    cx, cy = 600, 455
    s.colour *= (1 - 0.7 * blur(soft(circle(s, cx + 36, cy + 44, 350), 20), 24))[..., None]
    # The cap: knurled rim, flat top with a sunken ring, a grip bar.
    far = np.hypot(s.x - cx, s.y - cy)
    angle = np.arctan2(s.y - cy, s.x - cx)
    rim_radius = 338 + 9 * np.tanh(3 * np.sin(angle * 34))
    rim = soft(far - rim_radius, 2.5)
    s.raise_to(rim, 70 * np.clip((rim_radius - far) / 34, 0, 1) ** 0.6)
    s.paint(rim, (0.085, 0.085, 0.09), 0.5, 0.4 + 0.4 * s.noise(90))
    s.high -= 12 * soft(np.abs(far - 270) - 9, 4)
    bar = box(s, cx, cy - 20, 190, 44, 0.16, 40)
    s.high += 46 * soft(bar, 14)
    # Moulded figures and the two arrows.
    font, small = ImageFont.load_default(104), ImageFont.load_default(52)
    sheet = Image.new("L", s.size[::-1], 0)
    pen = ImageDraw.Draw(sheet)
    pen.text((cx, cy + 140), "15W-40", fill=255, font=font, anchor="mm")
    pen.text((cx, cy - 165), "OIL", fill=255, font=small, anchor="mm")
    pen.line((cx - 150, cy - 165, cx - 80, cy - 165), fill=255, width=8)
    pen.line((cx + 80, cy - 165, cx + 150, cy - 165), fill=255, width=8)
    sheet = sheet.rotate(-9, center=(cx, cy), resample=Image.Resampling.BICUBIC)
    letters = blur(np.asarray(sheet) / 255.0, 1.3)
    s.high += 13 * letters
    s.gloss += 0.25 * letters
    s.paint(letters * 0.5, (0.17, 0.17, 0.17), None)
    # Dust, scratches, and the cream around the lower rim.
    dust = np.clip((s.noise(70) - 0.5) * 3, 0, 1) * rim
    s.paint(dust * 0.35, (0.45, 0.40, 0.33), 0.05)
    scratches = cracks(
        s, [(s.rng.uniform(330, 870), s.rng.uniform(200, 700), s.rng.uniform(0, 6)) for _ in range(22)], 150, 0.05, 0
    )
    s.paint(scratches * rim * 0.4, (0.34, 0.33, 0.32), 0.3)
    low = soft(np.abs(far - 352) - 26 - 22 * (s.noise(40) - 0.5), 9) * np.clip(np.sin(angle - 0.35) * 2.2 - 0.7, 0, 1)
    s.raise_to(low, 26 + 26 * s.noise(28))
    s.paint(low, (0.74, 0.63, 0.44), 0.55, 0.35 + 0.3 * s.noise(18))
    save(camera(s.lit((930, -60, 640), ambient=0.20), 2, focus=soft(circle(s, cx, cy, 420), 200)), "oil-cap.jpg")


def brake_hose():
    s = Scene(33)
    # Behind, out of focus: rusty disc edge and dark arch.
    s.paint(np.ones(s.size), (0.11, 0.10, 0.10), 0.05, s.noise(240))
    disc = soft(circle(s, 1160, 960, 620), 4)
    s.raise_to(disc, -60)
    s.paint(disc, (0.34, 0.25, 0.20), 0.2, s.noise(60))
    rusty(s, disc * soft(-circle(s, 1160, 960, 560), 10), 0.9)
    arm = soft(box(s, 220, 760, 420, 85, 0.35, 40), 5)
    s.raise_to(arm, -20)
    s.paint(arm, (0.15, 0.14, 0.13), 0.25, s.noise(70))
    # The hose: part of a ring, thicker than life.
    cx, cy, bend, thick = 560, 1010, 610, 98
    far = np.hypot(s.x - cx, s.y - cy)
    across = far - bend
    angle = np.arctan2(s.y - cy, s.x - cx)
    s.colour *= (1 - 0.6 * blur(soft(np.abs(across + 40) - 110, 20), 26))[..., None]
    hose = soft(np.abs(across) - thick, 2)
    s.raise_to(hose, np.sqrt(np.clip(thick**2 - across**2, 0, None)) + 1.5 * s.noise(10, 2))
    s.paint(hose, (0.10, 0.10, 0.10), 0.28, 0.45 + 0.5 * s.noise(110))
    mould = soft(np.abs(across - 30) - 2, 1.5)
    s.high += 3 * mould * hose
    s.paint(hose * np.clip((s.noise(60) - 0.5) * 3, 0, 1) * 0.4, (0.33, 0.28, 0.22), 0.03)
    # Cracks run across the outside of the bend.
    starts = []
    for _ in range(46):
        at = s.rng.normal(-1.52, 0.20)
        out = bend + thick * s.rng.uniform(0.25, 0.95)
        starts.append((cx + out * np.cos(at), cy + out * np.sin(at), at + np.pi + s.rng.normal(0, 0.2)))
    fine = cracks(s, starts, 95, 0.22, 3.0) * hose
    s.high -= 16 * fine
    s.paint(np.clip(fine * 1.2, 0, 1), (0.02, 0.02, 0.02), 0.0)
    # One goes down to the cord: a wide gap with woven threads in it.
    gap = soft(
        np.abs(angle + 1.50 + 0.02 * np.sin(across / 9)) * bend - 17 * np.clip((across + 20) / 80, 0, 1) ** 0.6, 3
    )
    gap = gap * hose * soft(-(across + 18), 6) * soft(across - 92, 4)
    s.high -= 26 * gap
    weave = 0.5 + 0.5 * np.sin((s.x + s.y) / 3.6) * np.sin((s.x - s.y) / 3.6)
    s.paint(np.clip(gap * 1.2, 0, 1), (0.66, 0.60, 0.48), 0.05, weave)
    s.high += 4 * gap * weave
    lip = soft(np.abs(np.abs(angle + 1.50) * bend - 22) - 3, 3) * hose * soft(-(across + 18), 6)
    s.high += 5 * lip
    # Steel ferrule at the left end.
    ferrule = hose * soft(np.abs(angle + 2.42) * bend - 80, 3)
    s.high += 16 * ferrule
    s.paint(ferrule, (0.50, 0.47, 0.42), 0.6, 0.25 + 0.5 * s.noise(50))
    rusty(s, ferrule, 0.45, 50)
    focus = soft(np.abs(across) - 150, 120)
    save(camera(s.lit((420, -220, 560), ambient=0.16), 3, focus=focus), "brake-hose-crack.jpg")


def exhaust_hanger():
    s = Scene(44)
    # Under-body with thick sealant, then the silencer below.
    s.paint(np.ones(s.size), (0.15, 0.14, 0.13), 0.10, s.noise(200))
    s.high += 10 * s.noise(26, 3) - 30
    seam = soft(np.abs(s.y - 120 - 0.05 * s.x) - 16, 6)
    s.high += 14 * seam
    top = s.y - 640 - 0.04 * s.x
    silencer = soft(-top, 4)
    s.raise_to(silencer, 40 + np.sqrt(np.clip(420.0**2 - (420 - np.clip(top, 0, 420)) ** 2, 0, None)) * 0.6)
    s.paint(silencer, (0.46, 0.42, 0.38), 0.4, s.noise(120))
    rusty(s, silencer, 0.85, 120)
    weld = soft(np.abs(top - 60 - 6 * np.sin(s.x / 14)) - 9, 5)
    s.high += 9 * weld * silencer
    # Two hooks of round bar: one from above, one from the silencer.
    for ends in (((420, -20), (430, 300), (560, 330)), ((820, 760), (800, 520), (610, 500))):
        for (x1, y1), (x2, y2) in pairwise(ends):
            along = np.clip(((s.x - x1) * (x2 - x1) + (s.y - y1) * (y2 - y1)) / ((x2 - x1) ** 2 + (y2 - y1) ** 2), 0, 1)
            off = np.hypot(s.x - x1 - along * (x2 - x1), s.y - y1 - along * (y2 - y1))
            bar = soft(off - 27, 2)
            s.colour *= (1 - 0.5 * blur(soft(off - 40, 8), 14) * (1 - bar))[..., None]
            s.raise_to(bar, 90 + np.sqrt(np.clip(27.0**2 - off**2, 0, None)))
            s.paint(bar, (0.40, 0.34, 0.30), 0.3, s.noise(40))
            rusty(s, bar, 0.9, 45)
    # The rubber: two eyes, torn through between them.
    tear = 405 + 26 * np.sin(s.x / 31) + 34 * (s.noise(50) - 0.5)
    for cy, half, way in ((318, soft(s.y - tear + 18, 2), 1), (500, soft(tear + 20 - s.y, 2), -1)):
        body = np.minimum(box(s, 575, cy + way * 40, 82, 92, 0.05 * way, 40), circle(s, 575, cy, 100))
        rubber = soft(body, 3) * half
        hole = soft(circle(s, 575, cy, 34), 2)
        bulge = np.clip(-body / 26, 0, 1) ** 0.5
        s.raise_to(rubber, 128 + 26 * bulge)
        s.paint(rubber, (0.075, 0.07, 0.07), 0.18, 0.4 + 0.6 * s.noise(50))
        torn = rubber * soft(np.abs(s.y - tear) - 34, 8)
        s.high += torn * 16 * (s.noise(9, 2) - 0.5)
        s.paint(torn * 0.7, (0.19, 0.17, 0.15), 0.0, s.noise(8, 2))
        s.raise_to(hole * 0.9, 150)
        s.paint(hole, (0.36, 0.25, 0.18), 0.2, s.noise(12, 2))
    weather = cracks(
        s,
        [
            (s.rng.uniform(490, 660), s.rng.choice([270, 300, 540, 570]) + s.rng.normal(0, 14), s.rng.uniform(0, 6))
            for _ in range(30)
        ],
        50,
        0.3,
        1.5,
    )
    s.high -= 8 * weather
    save(
        camera(s.lit((180, 40, 520), ambient=0.15), 4, focus=soft(circle(s, 590, 420, 380), 260)), "exhaust-hanger.jpg"
    )


def tyre_tread():
    s = Scene(55)
    # The tread runs up the picture; its shoulders fall away left and right.
    across = (s.x - 600 + 0.08 * (s.y - 450)) / 470
    crown = 1 - np.clip(np.abs(across), 0, 1.3) ** 2.6
    s.paint(np.ones(s.size), (0.13, 0.13, 0.13), 0.12, 0.55 + 0.4 * s.noise(150))
    s.high = 260 * crown
    ground = soft(1.08 - np.abs(across), 0.02)
    # Grooves: two wavy along, many slanting across, set off from row to row.
    wave = 34 * np.abs((s.y / 150) % 1 - 0.5)
    groove = np.zeros(s.size)
    for middle in (-0.36, 0.36):
        groove = np.maximum(groove, soft(np.abs((across - middle) * 470 + wave - 8) - 19, 3))
    for low, high, slant, step, shift in (
        (-1.05, -0.36, 0.5, 104, 0),
        (-0.36, 0.36, -0.35, 92, 40),
        (0.36, 1.05, -0.5, 104, 60),
    ):
        row = (across > low) & (across < high)
        line = np.abs(((s.y + slant * across * 470 + shift) / step) % 1 - 0.5) * step
        groove = np.maximum(groove, soft(line - 10, 2.5) * row)
    sipe = np.zeros(s.size)
    for low, high, shift in ((-0.95, -0.45, 26), (-0.28, 0.28, 20), (0.45, 0.95, 34)):
        row = (across > low) & (across < high)
        line = np.abs(((s.y + 9 * np.sin(s.x / 12) + shift) / 52) % 1 - 0.5) * 52
        sipe = np.maximum(sipe, soft(line - 1.6, 1.2) * row)
    groove *= 1 - ground
    s.high -= 34 * groove + 9 * sipe * (1 - groove)
    s.paint(groove, (0.055, 0.05, 0.045), 0.02)
    # Wear bar in one groove, small stones, mud in the corners.
    bar = groove * soft(np.abs(s.y - 560) - 20, 4)
    s.high += 20 * bar
    s.paint(bar, (0.12, 0.12, 0.12), 0.1)
    for _ in range(26):
        x, y, r = s.rng.uniform(180, 1020), s.rng.uniform(0, 900), s.rng.uniform(5, 12)
        stone = soft(circle(s, x, y, r), 2) * np.clip(groove * 2, 0, 1)
        s.high += stone * 14
        s.paint(stone, s.rng.uniform(0.35, 0.6) * np.array((1.0, 0.94, 0.85)), 0.1)
    mud = np.clip((s.noise(120) - 0.52) * 5, 0, 1)
    s.paint(mud * (0.35 + 0.5 * groove), (0.40, 0.32, 0.23), 0.0, s.noise(10, 2))
    # Age cracks start in the grooves.
    starts = [
        (x, y, s.rng.uniform(0, 6.28))
        for x, y in zip(s.rng.uniform(150, 1050, 500), s.rng.uniform(0, 900, 500), strict=True)
    ]
    starts = [(x, y, way) for x, y, way in starts if groove[int(y), int(x)] > 0.15]
    age = cracks(s, starts, 62, 0.35, 1.6) * (1 - ground)
    s.high -= 9 * age
    s.paint(np.clip(age, 0, 1) * 0.9, (0.03, 0.03, 0.03), 0.0)
    s.paint(ground, (0.10, 0.09, 0.08), 0.0, s.noise(180))
    s.raise_to(ground, -40)
    save(
        camera(s.lit((60, 200, 560), ambient=0.24, depth=0.8), 5, focus=soft(np.abs(across) - 0.55, 0.5)),
        "tyre-tread.jpg",
    )


def axle_filler():
    """Upright it is 900 wide and 1200 tall; the file holds it lying on its side, as a phone's sensor would."""
    s = Scene(66, width=900, height=1200)
    # Axle casing: a great dome with a flange and bolts around it.
    s.paint(np.ones(s.size), (0.17, 0.15, 0.13), 0.08, s.noise(200))
    s.high += 8 * s.noise(30, 3)
    cx, cy = 430, 640
    flange = soft(circle(s, cx, cy, 520), 4)
    s.raise_to(flange, 50)
    s.paint(flange, (0.26, 0.22, 0.19), 0.22, s.noise(80))
    far = np.hypot(s.x - cx, s.y - cy)
    dome = soft(far - 410, 5)
    s.raise_to(dome, 60 + 150 * np.sqrt(np.clip(1 - (far / 430) ** 2, 0, 1)))
    s.paint(dome, (0.23, 0.21, 0.19), 0.25, s.noise(110))
    s.high += 5 * dome * s.noise(13, 3)
    rusty(s, np.maximum(flange, dome) * np.clip((s.noise(190) - 0.42) * 4, 0, 1), 0.75)
    for step in range(10):
        angle = step * np.pi / 5 + 0.25
        steel_bolt(s, cx + 464 * np.cos(angle), cy + 464 * np.sin(angle), 38, angle * 1.7, rust=0.5)
    # Boss, wiped clean around the hole; thread, black oil inside with one glint.
    hx, hy = 585, 585
    wiped = soft(circle(s, hx, hy, 200) + 80 * (s.noise(90) - 0.5), 26)
    s.paint(wiped * 0.6, (0.40, 0.38, 0.36), 0.4, s.noise(30))
    boss = circle(s, hx, hy, 132)
    s.raise_to(soft(boss, 4), 232)
    s.paint(soft(boss, 3), (0.50, 0.48, 0.46), 0.5, 0.3 + 0.4 * s.noise(40))
    seat = soft(np.abs(circle(s, hx, hy, 98)) - 11, 2)
    s.paint(seat, (0.66, 0.65, 0.63), 0.7)
    hole_far = np.hypot(s.x - hx, s.y - hy)
    hole = soft(hole_far - 86, 2)
    turns = 0.5 + 0.5 * np.sin(hole_far / 2.6)
    s.raise_to(hole, 232 - np.clip(86 - hole_far, 0, 30) * 3.2 + 7 * turns * (hole_far > 56))
    s.paint(hole, (0.20, 0.18, 0.16), 0.5, turns)
    s.paint(soft(hole_far - 58, 4), (0.012, 0.010, 0.008), 0.0)
    glint = soft(box(s, hx - 6, hy + 34, 26, 4, -0.1, 4), 4)
    s.paint(glint, (0.55, 0.42, 0.24), 0.0)
    # A run of oil down from the lower edge.
    run = (
        soft(np.abs(s.x - hx - 10 * np.sin(s.y / 60)) - 13 + (s.y - hy - 90) / 55, 4)
        * soft(hy + 88 - s.y, 4)
        * soft(s.y - hy - 520, 30)
    )
    s.high += 7 * run
    s.paint(run * 0.9, (0.07, 0.05, 0.03), 0.95)
    # A striped rag in the lower corner.
    rag = soft(box(s, 130, 1130, 330, 150, 0.35, 90) + 40 * (s.noise(120) - 0.5), 5)
    stripe = 0.5 + 0.5 * np.sign(np.sin((s.x - 0.5 * s.y) / 24))
    s.raise_to(rag, 240 + 60 * s.noise(110))
    s.paint(rag, (0.62, 0.55, 0.47), 0.0, 0.35 + 0.35 * stripe)
    s.paint(rag * np.clip((s.noise(100) - 0.5) * 4, 0, 1) * 0.7, (0.15, 0.12, 0.09), 0.1)
    upright = camera(s.lit((820, 120, 760), ambient=0.17), 6, focus=soft(circle(s, hx, hy, 330), 260))
    stored = upright.rotate(90, expand=True)
    save(stored, "axle-filler-exif6.jpg", orientation=6)
    shown = ImageOps.exif_transpose(Image.open(HERE / "axle-filler-exif6.jpg"))
    if shown.size != upright.size:
        raise SystemExit("axle-filler-exif6.jpg does not stand upright")


def manual_page():
    """The page of the invented manual that says what the wheel nuts take."""
    s = Scene(71)
    s.paint(np.ones(s.size), (0.20, 0.15, 0.11), 0.2, s.noise(200))
    sheet = Image.new("L", s.size[::-1], 0)
    pen = ImageDraw.Draw(sheet)
    head, large, plain = (ImageFont.load_default(size) for size in (34, 58, 38))
    pen.text((170, 96), "HALDEN  WORKSHOP MANUAL  1982", fill=255, font=head)
    pen.text((1030, 96), "212", fill=255, font=head, anchor="ra")
    pen.line((170, 146, 1030, 146), fill=255, width=5)
    pen.text((170, 178), "Wheels", fill=255, font=large)
    pen.text((170, 272), "Tighten the nuts in a star, in two rounds, with the", fill=230, font=plain)
    pen.text((170, 322), "tyre on the ground. Threads clean and dry.", fill=230, font=plain)
    for top, what, value in ((404, "Wheel nuts M12 x 1.5", "95 Nm"), (484, "again after", "50 km")):
        pen.line((170, top - 14, 1030, top - 14), fill=200, width=2)
        pen.text((170, top), what, fill=255, font=plain)
        pen.text((1030, top - 12), value, fill=255, font=large, anchor="ra")
    pen.line((170, 560, 1030, 560), fill=200, width=2)
    # Five to a wheel, as the demo's spec book counts them; crosswise.
    for number, place in enumerate((0, 2, 4, 1, 3), start=1):
        x, y = 600 + 76 * np.sin(place * np.pi * 2 / 5), 700 - 76 * np.cos(place * np.pi * 2 / 5)
        pen.ellipse((x - 27, y - 27, x + 27, y + 27), outline=255, width=4)
        pen.text((x, y), str(number), fill=255, font=head, anchor="mm")
    pen.ellipse((484, 584, 716, 816), outline=220, width=4)
    pen.text((170, 780), "invented", fill=200, font=head)
    ink = blur(np.asarray(sheet.rotate(1.6, resample=Image.Resampling.BICUBIC)) / 255.0, 0.5)
    paper = soft(box(s, 600, 450, 520, 410, -0.028, 6), 2)
    s.raise_to(paper, 16 + 26 * np.clip((s.x - 140) / 920, 0, 1) ** 3)
    s.paint(paper, (0.74, 0.70, 0.59), 0.04, 0.48 + 0.1 * s.noise(240))
    s.paint(ink * paper, (0.07, 0.07, 0.08), 0.05)
    # An oily thumb was on the lower corner.
    ridges = 0.5 + 0.5 * np.sin(np.hypot(s.x - 900, s.y - 830) / 3.1)
    thumb = soft(circle(s, 935, 742, 66) + 26 * (s.noise(60) - 0.5), 16) * ridges
    s.paint(thumb * paper * 0.6, (0.22, 0.17, 0.11), 0.2)
    save(camera(s.lit((320, -180, 900), ambient=0.34), 7), "manual-page.jpg")


if __name__ == "__main__":
    for picture in (sump_plug, oil_cap, brake_hose, exhaust_hanger, tyre_tread, axle_filler, manual_page):
        picture()
