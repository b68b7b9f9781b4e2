"""Checks a record of a roof, from docs/record.md alone."""
import hashlib
import json
import sys

last, ids, wanted, job, count = {}, {}, [], None, 0
for line in sorted(open(sys.argv[1], "rb").read().splitlines(), key=lambda l: json.loads(l[65:]).get("number", 0)):
    event = json.loads(line[65:])
    if hashlib.sha256(line[65:]).hexdigest() != line[:64].decode():
        sys.exit(f"changed: {event}")
    device, number = event["device"], event["number"]
    if ids.get((device, number)) == line:
        continue
    before = last.get(device, {"number": 0, "order": 0, "hash": ""})
    if number != before["number"] + 1 or event["before"] != before["hash"] or event["order"] <= before["order"]:
        sys.exit(f"does not follow: {event}")
    if job not in (None, event["job"]):
        sys.exit(f"of another roof: {event}")
    job, count = event["job"], count + 1
    ids[device, number] = line
    last[device] = {"number": number, "order": event["order"], "hash": line[:64].decode()}
    wanted += [event["facts"]["of"]] if "of" in event["facts"] else []
for of in wanted:
    device, number = of.split("-")
    if (device, int(number)) not in ids:
        sys.exit(f"not there: {of}")
print(f"{count} events hold")
