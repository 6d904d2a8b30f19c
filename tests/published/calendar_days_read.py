"""What the Python library icalendar reads in data/days.ics, as data/days_read.tsv.

    pip install -r tests/published/requirements.txt
    python3 tests/published/calendar_days_read.py           # writes the file anew
    python3 tests/published/calendar_days_read.py --check   # fails if the file is not what icalendar reads now
"""

from datetime import date, datetime
from importlib.metadata import version
from pathlib import Path

import icalendar

from fixture import keep

ICALENDAR_VERSION = "7.3.2"
DATA = Path(__file__).parent / "data"


def cell(value):
    """On one line, without tabs."""
    return str(value).replace("\\", "\\\\").replace("\n", "\\n")


def rows():
    calendar = icalendar.Calendar.from_ical((DATA / "days.ics").read_bytes())
    if calendar.errors:
        raise SystemExit(f"icalendar found errors: {calendar.errors}")
    for event in calendar.walk("VEVENT"):
        if event.errors:
            raise SystemExit(f"icalendar found errors: {event.errors}")
        if isinstance(event.start, datetime) or not isinstance(event.start, date):
            raise SystemExit("an event is no whole day")
        yield [
            event["UID"],
            event.start.isoformat(),
            event.end.isoformat(),
            event["TRANSP"],
            event["SUMMARY"],
            event.get("DESCRIPTION", ""),
        ]


def table():
    lines = [
        f"# Read by the Python library icalendar {ICALENDAR_VERSION}; written by tests/published/calendar_days_read.py, do not edit.",
        "\t".join(["uid", "day", "day_after", "transp", "summary", "description"]),
    ]
    lines += ["\t".join(cell(value) for value in row) for row in rows()]
    return "\n".join(lines) + "\n"


keep(DATA / "days_read.tsv", "icalendar", ICALENDAR_VERSION, version("icalendar"), table)
