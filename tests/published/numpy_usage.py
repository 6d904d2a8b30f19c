"""How far a car runs in a day by numpy, from data/usage_readings.csv, as data/usage_numpy.csv.

The distance run since the first reading (run_km) was worked by hand: a mile is 1.609344 km; a clock of five digits turns at
100 000; a clock that is changed runs on from what the old one showed last.

    pip install -r tests/published/requirements.txt
    python3 tests/published/numpy_usage.py           # writes the file anew
    python3 tests/published/numpy_usage.py --check   # fails if the file is not what numpy gives now
"""

import csv
from datetime import date
from itertools import groupby
from pathlib import Path

import numpy

from fixture import keep

NUMPY_VERSION = "2.4.6"
DATA = Path(__file__).parent / "data"


def rows():
    with open(DATA / "usage_readings.csv", encoding="utf-8", newline="") as file:
        for series, readings in groupby(csv.DictReader(file), key=lambda row: row["series"]):
            readings = list(readings)
            days = numpy.array([date.fromisoformat(row["day"]).toordinal() for row in readings], dtype=float)
            run = numpy.array([float(row["run_km"]) for row in readings])
            # Days from the first, so that nothing is lost to large numbers.
            line, cov = numpy.polyfit(days - days[0], run, 1, cov=True)
            yield series, line[0], numpy.sqrt(cov[0, 0])


def table():
    lines = [
        f"# By numpy {NUMPY_VERSION}, polyfit of degree 1 with cov; written by tests/published/numpy_usage.py, do not edit.",
        "series,km_a_day,standard_error",
    ]
    lines += [f"{series},{slope:.9f},{error:.9f}" for series, slope, error in rows()]
    return "\n".join(lines) + "\n"


keep(DATA / "usage_numpy.csv", "numpy", NUMPY_VERSION, numpy.__version__, table)
