"""linear.py A B C: profiles of block counts at n, 2n and 4n beds; names the blocks whose count grows faster than n.

Between n and 2n a count rises by x, between 2n and 4n by y; y/x is 2 where it is linear and 4 where it is quadratic. A
block fails above 3. Blocks that rise by fewer than 300 are too rare to tell."""
import sys

LEAST, MOST = 300, 3.0


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
    if y > MOST * max(x, 1):
        bad.append((y, f"{place}: {a.get(place, 0)}, {b.get(place, 0)}, {c[place]} times"))
print(f"{seen} blocks of code counted at 8, 16 and 32 beds")
if seen < 1000:
    sys.exit("too few blocks were counted: is anything measured?")
if bad:
    sys.exit("work that grows faster than the beds:\n" + "\n".join(text for _, text in sorted(bad, reverse=True)))
