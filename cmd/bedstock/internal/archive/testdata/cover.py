"""Reads a Darwin Core archive with the standard library alone, as anybody who gets one would, checks that its tables fit
together, and works out the mean cover of each species at each survey from its events, occurrences and measurements:

    sum over strata of area * sum(m2 * cover) / sum(m2), over the sum of the areas of the strata visited

where an absence without a measurement counts as 0.

usage: cover.py ARCHIVE >cover.csv
"""
import csv
import sys
import xml.etree.ElementTree as ET
import zipfile

NS = {"t": "http://rs.tdwg.org/dwc/text/"}


def table(z, node):
    """The rows of a table as dicts by the short names of its terms; the id of the event under 'id'."""
    cell = node.get("fieldsTerminatedBy").replace("\\t", "\t")
    key = node.find("t:id", NS)
    key = node.find("t:coreid", NS) if key is None else key
    names = {int(key.get("index")): "id"}
    for f in node.findall("t:field", NS):
        names[int(f.get("index"))] = f.get("term").rsplit("/", 1)[1]
    text = z.read(node.find("t:files/t:location", NS).text).decode(node.get("encoding"))
    lines = text.rstrip("\n").split("\n")[int(node.get("ignoreHeaderLines")):]
    rows = [line.split(cell) for line in lines]
    assert all(len(r) == len(names) for r in rows)
    return [{names[i]: v for i, v in enumerate(r)} for r in rows]


def unique(rows, name):
    ids = [r[name] for r in rows]
    assert len(set(ids)) == len(ids), name
    return set(ids)


z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
meta = ET.fromstring(z.read("meta.xml"))
ET.fromstring(z.read(meta.get("metadata")))
events = table(z, meta.find("t:core", NS))
more = {e.get("rowType").rsplit("/", 1)[1]: table(z, e) for e in meta.findall("t:extension", NS)}
occurrences, facts = more["Occurrence"], more["ExtendedMeasurementOrFact"]

event_ids = unique(events, "eventID")
occurrence_ids = unique(occurrences, "occurrenceID")
unique(facts, "measurementID")
assert all(e["parentEventID"] in event_ids | {""} for e in events)
assert all(o["id"] in event_ids for o in occurrences)
assert all(f["id"] in event_ids and f["occurrenceID"] in occurrence_ids | {""} for f in facts)

by_id = {e["eventID"]: e for e in events}
cover, stratum_m2, bed_m2 = {}, {}, {}
for f in facts:
    if f["measurementTypeID"].endswith("/SDBIOL10/"):
        cover[f["occurrenceID"]] = float(f["measurementValue"])
    elif f["measurementType"] == "area of the stratum":
        stratum_m2[f["id"]] = float(f["measurementValue"])
    elif f["measurementType"] == "area of the bed":
        bed_m2[f["id"]] = float(f["measurementValue"])

sums = {}  # (bed, survey, species) -> stratum event -> [sum of m2 * cover, sum of m2]
for o in occurrences:
    if o["organismQuantityType"] == "frond":
        continue
    quadrat = by_id[o["id"]]
    top, stratum = quadrat, ""
    while top["parentEventID"]:
        top = by_id[top["parentEventID"]]
        stratum = top["eventID"] if top["eventType"] == "Stratum" else stratum
    at = sums.setdefault((top["locationID"], top["fieldNumber"], o["scientificName"]), {}).setdefault(stratum or top["eventID"], [0.0, 0.0])
    m2 = float(quadrat["sampleSizeValue"])
    assert o["occurrenceID"] in cover or o["occurrenceStatus"] == "absent"
    at[0] += m2 * cover.get(o["occurrenceID"], 0.0)
    at[1] += m2

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["bed", "survey", "species", "cover_pct"])
for (bed, survey, species), strata in sorted(sums.items()):
    area = {s: stratum_m2.get(s, bed_m2.get(s)) for s in strata}
    total = sum(area[s] * w / m2 for s, (w, m2) in strata.items())
    out.writerow([bed, survey, species, "%.9g" % (total / sum(area.values()))])
