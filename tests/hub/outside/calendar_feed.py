"""The calendar of a running hub, read by somebody else's parser (icalendar, PyPI).

RFC 5545: lines of at most 75 octets that end in CRLF (3.1), UID and DTSTAMP in every event
(3.6.1), instants with a zone or in UTC (3.3.5), a trigger in every alarm (3.6.6). Entries
keep their UID from one fetch to the next, and the address without its secret gives nothing.

    python calendar_feed.py PATH-OF-SLOWSTONE
"""

import datetime
import json
import sys
import tempfile
import urllib.error
import urllib.request

from icalendar import Calendar

from running import Hub


def main(program):
    with tempfile.TemporaryDirectory() as folder, Hub(program, folder) as hub:
        path = hub.ask("/api/settings/reminders/calendar", method="POST")["path"]
        raw = urllib.request.urlopen(hub.origin + path).read()
        lines = raw.split(b"\r\n")
        assert lines.pop() == b"", "the last line does not end in CRLF"
        assert b"\n" not in b"".join(lines), "a line ends in LF alone"
        assert max(map(len, lines)) <= 75, "a line is not folded"

        calendar = Calendar.from_ical(raw)
        assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
        events = calendar.walk("VEVENT")
        assert len(events) >= 3, f"{len(events)} events in the demonstration"
        for event in events:
            start = event.decoded("DTSTART")
            assert isinstance(start, datetime.datetime) and start.tzinfo, f"{start} has no zone"
            assert event.decoded("DTSTAMP").utcoffset() == datetime.timedelta(0)
            assert event["UID"] and str(event["SUMMARY"]).strip()
            assert all("TRIGGER" in alarm for alarm in event.walk("VALARM"))
        uids = [str(e["UID"]) for e in events]
        assert len(set(uids)) == len(uids), "two events have one UID"

        again = Calendar.from_ical(urllib.request.urlopen(hub.origin + path).read())
        assert [str(e["UID"]) for e in again.walk("VEVENT")] == uids
        try:
            urllib.request.urlopen(hub.origin + "/calendar/guess.ics")
            raise AssertionError("a guessed address gives a calendar")
        except urllib.error.HTTPError as refused:
            assert refused.code == 404 and json.load(refused)["error"]["code"]
        print(f"calendar: {len(events)} events are read by icalendar")


if __name__ == "__main__":
    main(sys.argv[1])
