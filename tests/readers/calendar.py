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
assert calendar["NAME"] == calendar["X-WR-CALNAME"] == "Jars", calendar
events = []
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    first, after = event.decoded("DTSTART"), event.decoded("DTEND")
    assert type(first) is type(after), (first, after)
    if type(first) is datetime.date:
        assert event["DTSTART"].params["VALUE"] == "DATE"
    else:
        # Moments are in UTC, which every reader knows without a description of a zone.
        assert first.utcoffset() == after.utcoffset() == datetime.timedelta(), (first, after)
    assert event.decoded("DTSTAMP").tzinfo is not None
    events.append({
        "uid": str(event["UID"]),
        "first": first.isoformat(),
        "after": after.isoformat(),
        "title": str(event["SUMMARY"]),
        "notes": str(event["DESCRIPTION"]),
        "status": str(event["STATUS"]),
        "stamp": event.decoded("DTSTAMP").isoformat(),
        "sequence": int(event["SEQUENCE"]),
        # The package works out when each alarm goes off.
        "alarms": sorted(alarm.trigger.isoformat() for alarm in event.alarms.times),
        "says": [str(alarm["DESCRIPTION"]) for alarm in event.walk("VALARM")],
    })
print(json.dumps(events))
