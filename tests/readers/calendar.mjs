// Reads an iCalendar file with ical.js and prints its name and its events as JSON.
// Use: node calendar.mjs NPM-FOLDER FILE.ics. Fails where the file breaks RFC 5545 in a way the package can tell.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

const [packages, file] = process.argv.slice(2);
const ICAL = createRequire(resolve(packages, "here"))("ical.js");
ICAL.design.strict = true;
const calendar = new ICAL.Component(ICAL.parse(readFileSync(file, "utf8")));

// When an alarm goes off: RFC 5545, 3.8.6.3, a time before or after the start or the end of its event.
function moment(alarm, event) {
  const trigger = alarm.getFirstProperty("trigger");
  const from = trigger.getParameter("related") === "END" ? event.endDate : event.startDate;
  const at = from.clone();
  at.addDuration(trigger.getFirstValue());
  return at.toString();
}

const events = calendar.getAllSubcomponents("vevent").map((component) => {
  const event = new ICAL.Event(component);
  return {
    uid: event.uid,
    first: event.startDate.toString(),
    after: event.endDate.toString(),
    title: event.summary,
    notes: event.description,
    status: component.getFirstPropertyValue("status"),
    sequence: event.sequence,
    alarms: component.getAllSubcomponents("valarm").map((alarm) => moment(alarm, event)),
    says: component.getAllSubcomponents("valarm").map((alarm) => alarm.getFirstPropertyValue("description")),
  };
});
console.log(JSON.stringify({
  names: ["name", "x-wr-calname"].map((name) => calendar.getFirstPropertyValue(name)),
  events,
}));
