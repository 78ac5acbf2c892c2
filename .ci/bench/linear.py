"""linear.py A B C: profiles of block counts at n, 2n and 4n beds; names the blocks whose count grows faster than n.

Between n and 2n a count rises by x, between 2n and 4n by y; y/x is 2 where it is linear and 4 where it is quadratic. A
block fails above 3. Blocks that rise by fewer than 300 are too rare to tell."""
import sys

LEAST, MOST = 300, 3.0

# What may grow faster, and why it does no harm. A file that is named is not looked at.
HARMLESS = {
    "bedstock/survey/select.go": "selection of a middle value: how often it looks depends on the order of the data; its "
    "expected time is linear in the values given, and falls back to sorting",
    "bedstock/survey/check_units_rest.go": "looks again at those few people whose middle lies apart from all others'; the "
    "rows of each are walked once, and which people they are depends on the data",
    "bedstock/survey/first_of.go": "a table that is a quarter to half full: how full, and so how far a free place is, depends on the "
    "number of rows",
    "bedstock/plots/svgcanvas.go": "shapes of a map that lie under one another: the page is as large for more beds, so that "
    "more of them touch; a figure has at most some hundred",
    "bedstock/plots/obstacles.go": "places of labels on a page of one size: more beds stand closer; only what is near is looked at",
    "bedstock/plots/label.go": "the same: a place is left as soon as it is worse than the best so far",
}


def counts(name):
    out = {}
    with open(name, encoding="utf-8") as lines:
        next(lines)  # mode
        for line in lines:
            place, _, n = line.rsplit(" ", 2)
            out[place] = out.get(place, 0) + int(n)
    return out


a, b, c = map(counts, sys.argv[1:])
bad, seen = [], 0
for place in sorted(c):
    x, y = b.get(place, 0) - a.get(place, 0), c[place] - b.get(place, 0)
    if y < LEAST:
        continue
    seen += 1
    if place.partition(":")[0] in HARMLESS:
        continue
    if y > MOST * max(x, 1):
        bad.append((y, f"{place}: {a.get(place, 0)}, {b.get(place, 0)}, {c[place]} times"))
print(f"{seen} blocks of code counted at three sizes")
if seen < 1000:
    sys.exit("too few blocks were counted: is anything measured?")
if bad:
    sys.exit("work that grows faster than the beds:\n" + "\n".join(text for _, text in sorted(bad, reverse=True)))
