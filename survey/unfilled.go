package survey

import (
	"fmt"
	"slices"
)

// Unfilled is a planned survey of a bed with quadrats that are not filled in yet.
type Unfilled struct {
	Bed     string
	Left    int // quadrats still planned
	Planned int // all quadrats of that survey: those still planned, and those that were filled in
	Past    bool
	Line    int // of quadrats.csv, the first row still planned
}

// Late says whether the survey was begun or its days are over: what is left then bears on results.
func (u Unfilled) Late() bool { return u.Past || u.Left < u.Planned }

func (u Unfilled) String() string {
	return fmt.Sprintf("bed %s: %d of %d planned quadrats not filled in yet", u.Bed, u.Left, u.Planned)
}

// days is a stretch of days, empty where to is before from.
type days struct{ from, to Day }

func (d *days) add(from, to Day) {
	if d.to < d.from {
		*d = days{from, to}
		return
	}
	d.from, d.to = min(d.from, from), max(d.to, to)
}

// Unfilled lists the beds with planned quadrats that are not filled in yet, in the order of quadrats.csv. To the same
// survey belong the quadrats of the bed that were visited, or could not be, within so many days of the planned ones;
// where those have no date yet, within so many days before AsOf. The survey is past where all its planned dates lie as
// many days back.
func (f *Folder) Unfilled(window int) []Unfilled {
	if !slices.Contains(f.Quadrats.Visit, Planned) {
		return nil
	}
	return f.unfilled(f.Quadrats.firstRows(), window)
}

// unfilled is [Folder.Unfilled]; first is the first row of the same quadrat, of every row.
func (f *Folder) unfilled(first []int32, window int) []Unfilled {
	q := &f.Quadrats
	var out []Unfilled
	place := map[uint32]int{}
	span := map[uint32]*days{}
	for i, k := range first {
		if q.Visit[i] != Planned || int(k) != i {
			continue
		}
		n, ok := place[q.Bed[i]]
		if !ok {
			n = len(out)
			place[q.Bed[i]] = n
			span[q.Bed[i]] = &days{0, -1}
			out = append(out, Unfilled{Bed: f.Names[q.Bed[i]], Past: true, Line: int(q.Line[i])})
		}
		u := &out[n]
		u.Left++
		w := Day(window)
		if d := q.Day[i]; d != NoDay {
			span[q.Bed[i]].add(d-w, d+w)
			u.Past = u.Past && d+w < f.AsOf
		} else {
			u.Past = false
			if f.AsOf != NoDay {
				span[q.Bed[i]].add(f.AsOf-w, f.AsOf)
			}
		}
	}
	for i, k := range first {
		if s := span[q.Bed[i]]; s != nil && int(k) == i && q.Visit[i] != Planned && s.from <= q.Day[i] && q.Day[i] <= s.to {
			out[place[q.Bed[i]]].Planned++
		}
	}
	for i := range out {
		out[i].Planned += out[i].Left
	}
	return out
}

// unfilled notes planned surveys that were begun, or whose days are over.
func (c *checker) unfilled(first []int32, window int) {
	if !slices.Contains(c.f.Quadrats.Visit, Planned) {
		return
	}
	for _, u := range c.f.unfilled(first, window) {
		if u.Late() {
			c.found.doubt("quadrats.csv", u.Line, "visit", "fill them in, write not_reached or unsampleable, or delete the rows", "%s", u)
		}
	}
}
