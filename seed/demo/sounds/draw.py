#!/usr/bin/env python3
"""Makes the demo's two clips by a seed: an idling four-cylinder engine with a whining alternator, and the same without.

Invented, as everything here. Needs NumPy: python3 seed/demo/sounds/draw.py
"""

import wave
from pathlib import Path

import numpy

RATE, SECONDS = 8000, 4


def clip(name, seed, crank, poles):
    random = numpy.random.default_rng(seed)
    time = numpy.arange(RATE * SECONDS) / RATE
    tones = [(2 * times * crank, 0.24 / times) for times in range(1, 8)]
    tones += [(poles * times * crank, 0.13 / times) for times in (1, 2, 3)] if poles else []
    sound = sum(size * numpy.sin(2 * numpy.pi * (hertz * time + random.random())) for hertz, size in tones)
    sound = sound + 0.02 * random.standard_normal(len(time))
    with wave.open(str(Path(__file__).parent / name), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(1)
        out.setframerate(RATE)
        out.writeframes(numpy.round(127.5 + 110 * sound).clip(0, 255).astype("u1").tobytes())


if __name__ == "__main__":
    clip("whine-before.wav", 41, 14.2, 2.371 * 12)
    clip("whine-after.wav", 42, 14.9, None)
