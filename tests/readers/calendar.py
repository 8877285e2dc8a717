"""Reads an iCalendar file with the icalendar package, and prints its events as JSON.

Use: python calendar.py FILE. Fails where the file breaks RFC 5545 in a way the package can tell.
"""

import sys

sys.path.pop(0)  # This file must not stand in for the standard library's calendar.

import datetime
import json

from icalendar import Calendar

with open(sys.argv[1], "rb") as file:
    calendar = Calendar.from_ical(file.read())
assert calendar["VERSION"] == "2.0" and calendar["PRODID"], calendar
events = []
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    first, after = event.decoded("DTSTART"), event.decoded("DTEND")
    assert type(first) is datetime.date and type(after) is datetime.date, (first, after)
    assert event["DTSTART"].params["VALUE"] == "DATE"
    assert event.decoded("DTSTAMP").tzinfo is not None
    events.append({
        "uid": str(event["UID"]),
        "first": first.isoformat(),
        "days": (after - first).days,
        "title": str(event["SUMMARY"]),
        "notes": str(event["DESCRIPTION"]),
        "status": str(event["STATUS"]),
        "stamp": event.decoded("DTSTAMP").isoformat(),
    })
print(json.dumps(events))
