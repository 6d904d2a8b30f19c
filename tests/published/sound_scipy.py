#!/usr/bin/env python3
"""Writes or checks data/whine_*.wav and data/whine_scipy.csv: clips by a seed, and what the library SciPy finds in them.

Needs SciPy 1.17.1 and NumPy 2.4.6, which are pinned because another version may draw other random numbers or filter otherwise:

    pip install scipy==1.17.1 numpy==2.4.6
    python3 tests/published/sound_scipy.py           # writes the files anew
    python3 tests/published/sound_scipy.py --check   # fails if a file is not what SciPy gives now

Rows of the table: `power` is scipy.signal.welch (Hann, half overlapping, scaling 'spectrum', mean taken out) at every 16th value
and around each peak; `peak` is scipy.signal.find_peaks on decibels with a prominence of 6 dB or more, from 20 Hz to 3600 Hz, and
over the floor or not. Clips of 8 kHz, one channel, 16 bits.
"""

import io
import sys
import wave
from pathlib import Path

import numpy
import scipy
from fixture import keep
from scipy.signal import find_peaks, welch

SCIPY_VERSION, NUMPY_VERSION = "1.17.1", "2.4.6"
DATA = Path(__file__).parent / "data"
RATE = 8000
# Engine at 870 and 1130 turns a minute, four cylinders; a part at 28.44 orders, and after the repair none.
CLIPS = {
    "whine_before": {"seed": 11, "seconds": 2.5, "crank": 14.5, "whine": 28.44, "length": 4096},
    "whine_after": {"seed": 12, "seconds": 2.5, "crank": 18.8333, "whine": None, "length": 4096},
}


def samples(clip):
    """From −1 to 1."""
    random = numpy.random.default_rng(clip["seed"])
    time = numpy.arange(int(clip["seconds"] * RATE)) / RATE
    tones = [(2 * times * clip["crank"], 0.2 / times) for times in range(1, 7)]
    if clip["whine"]:
        tones += [(times * clip["whine"] * clip["crank"], 0.1 / times) for times in range(1, 4)]
    sound = sum(size * numpy.sin(2 * numpy.pi * (hertz * time + random.random())) for hertz, size in tones)
    return sound + 0.01 * random.standard_normal(len(time)) + 0.02


def recorded(clip):
    """The bytes of a WAV file."""
    whole = numpy.round(samples(clip) * 32767).astype("<i2")
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(whole.tobytes())
    return file.getvalue()


def rows(name, clip):
    with wave.open(io.BytesIO(recorded(clip))) as file:
        sound = numpy.frombuffer(file.readframes(file.getnframes()), "<i2").astype(numpy.float32) / numpy.float32(32768)
    length = clip["length"]
    hertz, power = welch(
        sound.astype(numpy.float64), RATE, "hann", length, length // 2, scaling="spectrum", detrend="constant"
    )
    level = 10 * numpy.log10(numpy.maximum(2 * power, 1e-20))
    places, facts = find_peaks(level, prominence=6)
    kept = [(place, facts["prominences"][at]) for at, place in enumerate(places) if 20 <= hertz[place] <= 3600]
    near = {place + step for place, _ in kept for step in (-1, 0, 1)}
    for bin in sorted(set(range(0, len(power), 16)) | near):
        yield f"{name},power,{bin},{power[bin]:.12e}"
    for place, prominence in kept:
        yield f"{name},peak,{place},{prominence:.9f}"


def fixture():
    head = [
        f"# Spectra and peaks of the clips whine_*.wav by the library SciPy {SCIPY_VERSION};",
        "# written by tests/published/sound_scipy.py, do not edit.",
        "clip,what,bin,value",
    ]
    return "\n".join([*head, *(row for name, clip in CLIPS.items() for row in rows(name, clip))]) + "\n"


def keep_clips():
    for name, clip in CLIPS.items():
        path = DATA / f"{name}.wav"
        if "--check" not in sys.argv[1:]:
            path.write_bytes(recorded(clip))
        elif path.read_bytes() != recorded(clip):
            sys.exit(f"{path.name} is not what its seed gives: run without --check and look at the difference")


if __name__ == "__main__":
    if numpy.__version__ != NUMPY_VERSION:
        sys.exit(f"NumPy {NUMPY_VERSION} is needed, but {numpy.__version__} is installed")
    keep_clips()
    keep(DATA / "whine_scipy.csv", "SciPy", SCIPY_VERSION, scipy.__version__, fixture)
