"""What the Python library icalendar reads in data/evenings.ics, as data/evenings_read.tsv.

    pip install -r tests/published/requirements.txt
    python3 tests/published/calendar_read.py           # writes the file anew
    python3 tests/published/calendar_read.py --check   # fails if the file is not what icalendar reads now
"""

from datetime import UTC
from importlib.metadata import version
from pathlib import Path
from zoneinfo import ZoneInfo

import icalendar

from fixture import keep

ICALENDAR_VERSION = "7.3.2"
DATA = Path(__file__).parent / "data"


def cell(value):
    """On one line, without tabs."""
    return str(value).replace("\\", "\\\\").replace("\n", "\\n")


def utc(naive, zone):
    # Of a time shown twice the first counts (RFC 5545, 3.3.5): fold 0 is Python's word for it.
    return naive.replace(tzinfo=zone, fold=0).astimezone(UTC).strftime("%Y-%m-%dT%H:%MZ")


def rows():
    calendar = icalendar.Calendar.from_ical((DATA / "evenings.ics").read_bytes())
    if calendar.errors:
        raise SystemExit(f"icalendar found errors: {calendar.errors}")
    described = {str(zone["TZID"]): zone for zone in calendar.walk("VTIMEZONE")}
    for event in calendar.walk("VEVENT"):
        if event.errors:
            raise SystemExit(f"icalendar found errors: {event.errors}")
        start = event["DTSTART"]
        name = start.params["TZID"]
        naive = start.dt.replace(tzinfo=None)
        minutes, seconds = divmod(event["DURATION"].dt.total_seconds(), 60)
        if seconds:
            raise SystemExit("a duration is no whole number of minutes")
        yield [
            event["UID"],
            naive.strftime("%Y-%m-%dT%H:%M"),
            utc(naive, described[name].to_tz(lookup_tzid=False)),
            utc(naive, ZoneInfo(name)),
            int(minutes),
            event["SEQUENCE"],
            event["DTSTAMP"].dt.strftime("%Y-%m-%dT%H:%M:%SZ"),
            event["SUMMARY"],
            event.get("DESCRIPTION", ""),
        ]


def table():
    lines = [
        f"# Read by the Python library icalendar {ICALENDAR_VERSION}; written by tests/published/calendar_read.py, do not edit.",
        "\t".join(
            ["uid", "start", "utc_by_the_file", "utc_by_the_database", "minutes", "sequence", "stamp", "summary", "description"]
        ),
    ]
    lines += ["\t".join(cell(value) for value in row) for row in rows()]
    return "\n".join(lines) + "\n"


keep(DATA / "evenings_read.tsv", "icalendar", ICALENDAR_VERSION, version("icalendar"), table)
