"""Reads the calendar of one day with the icalendar package, and prints its events as JSON.

Use: python day_calendar.py FILE. Fails where the file breaks RFC 5545 in a way the package can tell.
"""

import json
import sys

sys.path.pop(0)  # calendar.py beside this file must not stand in for the standard library's.

from icalendar import Calendar

with open(sys.argv[1], "rb") as file:
    calendar = Calendar.from_ical(file.read())
events = []
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    events.append({
        "at": event.decoded("DTSTART").isoformat(),
        "until": event.decoded("DTEND").isoformat(),
        "title": str(event["SUMMARY"]),
        "alarms": [alarm.decoded("TRIGGER").total_seconds() for alarm in event.walk("VALARM")],
    })
print(json.dumps(events))
