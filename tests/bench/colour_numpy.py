#!/usr/bin/env python3
"""What the hub does to measure one photo and to fit one curve of doses, by numpy.

Run by `cargo xtask bench colour`. Arguments: the photo, then x0 y0 x1 y1 of the patch and of
the card. For each line of input it does what the line says and prints the milliseconds.

`photo`: Pillow decodes; patch and card go to linear light, the light is taken out by the
median of the card, every pixel of the patch goes to CIELAB, and CIEDE2000 to their median is
taken of each (Sharma, Wu and Dalal 2005). `dose`: as many least squares as one fit needs,
of the same size (four shapes, nine sets of trials, three coordinates). Needs numpy and
Pillow.
"""

import sys
import time

import numpy as np
from PIL import Image

# IEC 61966-2-1 and its white.
TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
WHITE = TO_XYZ.sum(axis=1)
CARD_Y = 0.18
SHAPES, TRIALS = 4, 8


def linear(levels):
    v = levels.astype(np.float64) / 255.0
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    t = rgb @ TO_XYZ.T / WHITE
    f = np.where(t > 216 / 24389, np.cbrt(t), (24389 / 27 * t + 16) / 116)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def ciede2000(p, q):
    def hue(a, b):
        return np.degrees(np.arctan2(b, a)) % 360

    l1, a1, b1 = p[..., 0], p[..., 1], p[..., 2]
    l2, a2, b2 = q[..., 0], q[..., 1], q[..., 2]
    c7 = (0.5 * (np.hypot(a1, b1) + np.hypot(a2, b2))) ** 7
    g = 0.5 * (1 - np.sqrt(c7 / (c7 + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2, h1, h2 = np.hypot(a1, b1), np.hypot(a2, b2), hue(a1, b1), hue(a2, b2)
    dh = (h2 - h1 + 180) % 360 - 180
    mean_h = (h1 + dh / 2) % 360
    mean_l, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    big_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2))

    def cos(k, off):
        return np.cos(np.radians(k * mean_h + off))

    t = 1 - 0.17 * cos(1, -30) + 0.24 * cos(2, 0) + 0.32 * cos(3, 6) - 0.20 * cos(4, -63)
    s_l = 1 + 0.015 * (mean_l - 50) ** 2 / np.sqrt(20 + (mean_l - 50) ** 2)
    s_c, s_h = 1 + 0.045 * mean_c, 1 + 0.015 * mean_c * t
    c7 = mean_c**7
    turn = np.sin(np.radians(60 * np.exp(-(((mean_h - 275) / 25) ** 2))))
    r_t = -2 * np.sqrt(c7 / (c7 + 25.0**7)) * turn
    dl, dc, dh = (l2 - l1) / s_l, (c2 - c1) / s_c, big_h / s_h
    return np.sqrt(np.maximum(dl**2 + dc**2 + dh**2 + r_t * dc * dh, 0))


def photo(path, patch, card):
    with Image.open(path) as image:
        pixels = np.asarray(image.convert("RGB"))

    def part(r):
        return linear(pixels[r[1] : r[3], r[0] : r[2]])

    light = np.median(part(card).reshape(-1, 3), axis=0) / CARD_Y
    colours = lab(part(patch) / light)
    middle = np.median(colours.reshape(-1, 3), axis=0)
    return middle, float(np.median(ciede2000(colours, np.broadcast_to(middle, colours.shape))))


def dose():
    x = np.arange(TRIALS, dtype=float)
    rows = np.stack([np.ones(TRIALS), x, x * x], axis=1)
    values = np.stack([70 - 2 * x, 1 + x, 6 + 0.5 * x], axis=1)
    for _ in range(SHAPES):
        for left in range(TRIALS + 1):
            keep = np.arange(TRIALS) != left
            for i in range(3):
                np.linalg.lstsq(rows[keep], values[keep, i], rcond=None)


def main():
    path, *numbers = sys.argv[1:]
    numbers = [int(n) for n in numbers]
    for line in sys.stdin:
        begin = time.perf_counter()
        if line.strip() == "photo":
            photo(path, numbers[:4], numbers[4:])
        else:
            dose()
        print((time.perf_counter() - begin) * 1000.0, flush=True)


if __name__ == "__main__":
    main()
