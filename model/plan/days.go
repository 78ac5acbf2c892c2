package plan

import (
	"cmp"
	"math"
	"slices"
)

// Low is a low water by daylight.
type Low struct {
	Day    int     // counted from any day
	Minute int     // of the day
	Height float64 // m
}

// Task is the work on a bed that is to be laid on low waters.
type Task struct {
	Bed  string
	Site string  // beds of different sites share no low water
	At   float64 // highest low water at which the bed can be worked, m
	Work float64 // minutes on the bed
	Rank int     // where not all beds can be held, those of a smaller one come first
}

// Part is the work of a bed at one low water.
type Part struct {
	Bed    string
	Number int // 1 is the first
	Of     int
	Work   float64 // minutes
	Last   bool    // what is left over after whole low waters
}

// Outing is a day on the shore: one low water and the beds worked at it, the one that can stand the highest water first.
type Outing struct {
	Low
	Parts []Part
	Need  float64 // highest low water that all its beds can stand, m
}

// Cause is why a bed is left without days.
type Cause string

const (
	TooHigh Cause = "too high" // no low water is low enough
	TooFew  Cause = "too few"  // fewer low waters are low enough than the bed takes
	Taken   Cause = "taken"    // other beds have them
	Apart   Cause = "apart"    // they lie too far apart for one survey
)

// Without is a bed without days.
type Without struct {
	Bed   string
	Cause Cause
	Takes int // low waters that the bed takes
	There int // days with one that is low enough
}

// Calendar are beds laid on days.
type Calendar struct {
	Outings []Outing // by day
	Without []Without
	Days    []Low // the lowest low water of every day there is, by day
	Most    int   // no calendar holds more beds
	Least   int   // no calendar of the beds of this one has fewer days
}

// LayDays lays the work of beds on low waters: as many beds as can be, then on few days, then early; where not all can be and
// their ranks differ, see [layer.inOrder], those of a smaller rank first, though more of the others might fit. A day has one outing,
// at its lowest low water. A bed takes ceil(work/(tide-visit)) low waters of the costs and not one more; beds of one site
// may share one as long as what they take of it, with the way to each, is no more than there is. Visits of a bed lie at
// most window days apart, one from the next.
//
// A low water serves a bed whose At is not below its height. So the days that serve a bed are among those that serve any
// bed that can stand higher water, and needs can be met if and only if the i-th lowest need is not below the i-th lowest
// day: given any way to meet them, two beds whose needs and days are in different order can exchange their days. In place
// of time stands the rank of a day's height: beds are jobs, a job takes as many units as its bed takes low waters, and is
// due after the last day that serves it. What holds most beds is then the problem of Moore (1968), whose rule, as Hodgson
// put it (take jobs by their due date; where one comes late, drop the longest so far), is exact where no bed shares a low
// water.
//
// Of low waters that beds may share, all that a bed takes but one are full: should it leave room at two of them, what
// fills both rooms fits into one as well. What is left over are items to be packed, which is bin packing; it is done by
// first fit, and no better way is promised than between the bounds. Most is by Moore's rule on shares of a day, as if
// work could be cut and mixed at will; Least is the same sum of the beds that are held, site by site, rounded up.
//
// The sets of days that can be given to different needs are the independent sets of a transversal matroid; so to go
// through the days in order and to take each that leaves the set independent gives days of which the first, second, ...
// is no later than that of any other choice for the same needs (Edmonds 1971). Where these days leave the visits of a bed
// farther apart than the window, what holds most beds is searched for, see [runs], and is no longer sure to be the most.
//
// References:
//   - Moore, J. M.: An n job, one machine sequencing algorithm for minimizing the number of late jobs. Management Science
//     15 (1968) 102-109
//   - Edmonds, J.: Matroids and the greedy algorithm. Mathematical Programming 1 (1971) 127-136
func LayDays(tasks []Task, lows []Low, c Costs, window int) Calendar {
	l := layer{costs: c, window: window, days: lowestOfDays(lows)}
	for _, d := range l.days {
		l.heights = append(l.heights, d.Height)
	}
	slices.Sort(l.heights)
	l.tasks = slices.Clone(tasks)
	l.tasks = slices.DeleteFunc(l.tasks, func(t Task) bool { return !l.alone(t) })
	slices.SortStableFunc(l.tasks, func(a, b Task) int { return cmp.Compare(a.At, b.At) })
	outings := l.inOrder()
	var held []Task
	out := Calendar{Outings: outings, Days: l.days, Most: len(mostLate(l.tasks, l.share, l.due))}
	for _, t := range tasks {
		if holds(outings, t.Bed) {
			held = append(held, t)
		} else {
			out.Without = append(out.Without, l.without(t))
		}
	}
	out.Least = l.least(held)
	return out
}

// within lays out beds, sorted by At, with no visit farther from the next than the window: with the beds dropped one by one
// that are visited farthest apart, or by the search of [runs] where that holds more.
func (l *layer) within(all []Task) []Outing {
	tasks := all
	for {
		held := l.hold(tasks)
		outings := l.lay(held)
		far := farthest(outings, l.window)
		if far == "" {
			if len(tasks) == len(all) {
				return outings
			}
			if others, n := l.searchRuns(all); n > len(held) || n == len(held) && len(others) < len(outings) {
				return others
			}
			return outings
		}
		tasks = slices.DeleteFunc(slices.Clone(tasks), func(t Task) bool { return t.Bed == far })
	}
}

func holds(outings []Outing, bed string) bool {
	return slices.ContainsFunc(outings, func(o Outing) bool {
		return slices.ContainsFunc(o.Parts, func(p Part) bool { return p.Bed == bed })
	})
}

// lowestOfDays is the lowest low water of each day, the first of several, by day.
func lowestOfDays(lows []Low) []Low {
	all := slices.Clone(lows)
	slices.SortFunc(all, func(a, b Low) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Height, b.Height), cmp.Compare(a.Minute, b.Minute))
	})
	return slices.CompactFunc(all, func(a, b Low) bool { return a.Day == b.Day })
}

// layer is what the steps of laying out share.
type layer struct {
	costs   Costs
	window  int
	days    []Low     // one a day, by day
	heights []float64 // of these, sorted
	tasks   []Task    // by At; those that have days enough if they had them all
}

// due is how many days serve a bed.
func (l *layer) due(t Task) float64 {
	n, _ := slices.BinarySearch(l.heights, math.Nextafter(t.At, math.Inf(1)))
	return float64(n)
}

// takes is how many low waters a bed takes, share the part of the time there is at them.
func (l *layer) takes(t Task) float64 { return float64(l.costs.Tides(t.Work)) }
func (l *layer) share(t Task) float64 {
	return (t.Work + l.takes(t)*l.costs.Visit) / l.costs.Tide * (1 - 1e-12)
}

// mostLate is Moore's rule on tasks sorted by their due date: the most that can be done in time.
func mostLate(tasks []Task, length, due func(Task) float64) []Task {
	var held []Task
	sum := 0.0
	for _, t := range tasks {
		held = append(held, t)
		if sum += length(t); sum > due(t) {
			i := longest(held, length)
			sum -= length(held[i])
			held = slices.Delete(held, i, i+1)
		}
	}
	return held
}

func longest(tasks []Task, length func(Task) float64) int {
	at := 0
	for i := range tasks {
		if length(tasks[i]) >= length(tasks[at]) {
			at = i
		}
	}
	return at
}

// without says why a bed is left.
func (l *layer) without(t Task) Without {
	w := Without{Bed: t.Bed, Cause: Taken, Takes: int(l.takes(t)), There: int(l.due(t))}
	switch {
	case w.There == 0:
		w.Cause = TooHigh
	case w.There < w.Takes:
		w.Cause = TooFew
	case !l.alone(t):
		w.Cause = Apart
	}
	return w
}

// least is the number of days that the beds take at least.
func (l *layer) least(held []Task) int {
	sum, most := map[string]float64{}, map[string]int{}
	for _, t := range held {
		sum[t.Site] += l.share(t)
		most[t.Site] = max(most[t.Site], int(l.takes(t)))
	}
	n := 0
	for site, v := range sum {
		n += max(most[site], int(math.Ceil(v-1e-9)))
	}
	return n
}
