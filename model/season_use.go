package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/survey"
)

// use fills what was granted and what is cut of every season of a unit, and warns where either is beyond the advice.
func (a *assessor) use(u *Unit) {
	for i := range u.Seasons {
		u.Seasons[i].CutKg = math.NaN()
		if s := &u.Seasons[i]; a.out.Folder.CutsKnown {
			s.CutKg = a.cutIn(u, s.From, s.To)
		}
	}
	granted := make([][]survey.Decision, len(u.Seasons))
	for _, d := range a.decisionsOf(u.Pair) {
		if i := a.seasonFor(d, len(u.Seasons), func(i int) (string, survey.Day, survey.Day) {
			s := &u.Seasons[i]
			return s.Name, s.From, s.To
		}); i >= 0 {
			granted[i] = append(granted[i], d)
		}
	}
	for i := range u.Seasons {
		s := &u.Seasons[i]
		s.GrantedKg = grantsOf(granted[i]).kg()
		a.warnOfReturns(s)
		a.looseInSeason(u, s)
		switch {
		case s.Status == NotAssessed && s.GrantedKg > 0:
			s.Warnings = append(s.Warnings, fmt.Sprintf("granted %s kg, no amount can be advised", Kg(s.GrantedKg)))
		case s.GrantOver():
			s.Warnings = append(s.Warnings, fmt.Sprintf("granted %s kg, advised %s", Kg(s.GrantedKg), Kg(s.AdvisedKg)))
		}
	}
}

// warnOfReturns tells where returns are not in for the whole of a season so far.
func (a *assessor) warnOfReturns(s *Season) {
	until := min(s.To, a.out.Folder.AsOf)
	if to := a.out.Rules.ReturnsCompleteTo; to != survey.NoDay && to < until && s.From <= until && !math.IsNaN(s.CutKg) {
		s.Warnings = append(s.Warnings, fmt.Sprintf("returns are in up to %s only: more may be cut than they say", to))
	}
}

// LeftKg is what may still be cut of the advice, and of what is granted where that is less, kg, never below 0; NaN where the
// advice or the cut is not known.
func (s Season) LeftKg() float64 {
	may := s.AdvisedKg
	if s.GrantedKg < may {
		may = s.GrantedKg
	}
	return math.Max(may-s.CutKg, 0)
}

// Over tells whether more is cut than is advised. What was cut of a season before it was shut is not; what was cut while
// it was shut is.
func (s Season) Over() bool {
	if s.Status == Closed || s.Status == Resting {
		return s.ShutKg > 0
	}
	return s.CutKg > 0 && s.CutKg > s.AdvisedKg*(1+1e-9) || math.IsInf(s.CutKg, 1) // of which no more is told
}

// GrantOver tells whether more was granted than is advised.
func (s Season) GrantOver() bool { return s.GrantedKg > s.AdvisedKg*(1+1e-9) }

// Use is what is advised, granted and cut of one season on all beds together, kg.
type Use struct {
	Name      string
	From, To  survey.Day
	Shared    bool // another season of the same name and year, of other species, has other days
	Running   bool
	AdvisedKg float64 // of the stands that have an advice; NaN: none has one
	GrantedKg float64 // NaN: nothing was granted
	CutKg     float64 // NaN: cuts are not known
	LeftKg    float64 // the sum of what is left of each stand; NaN: not known
	// UnallocatedKg was landed in its days without a bed or species, each landing once; it is in no other sum.
	UnallocatedKg float64
	Withheld      int // stands whose advice is not told and in no sum, though what is cut of them is
	Over          int // stands cut beyond their advice
	Grants        int // stands for which something was granted
	GrantsOver    int // stands for which more was granted than is advised, those without an advice among them
}

// Uses sums what is advised, granted and cut, a row a season, in the order of time.
func (a *Assessment) Uses() []Use {
	var out []Use
	for i := range a.Units {
		for _, s := range a.Units[i].Seasons {
			k := slices.IndexFunc(out, func(x Use) bool { return x.Name == s.Name && x.From == s.From && x.To == s.To })
			if k < 0 {
				k = len(out)
				nan := math.NaN()
				out = append(out, Use{Name: s.Name, From: s.From, To: s.To, Running: s.From <= a.Folder.AsOf && a.Folder.AsOf <= s.To,
					AdvisedKg: nan, GrantedKg: nan, CutKg: nan, LeftKg: nan})
			}
			out[k].add(s)
		}
	}
	if loose := a.mayBeOfAny(); len(loose) > 0 {
		for k := range out {
			out[k].UnallocatedKg = survey.SumKg(survey.Touching(loose, out[k].From, out[k].To+1)) / a.Rules.ReportedShare
		}
	}
	slices.SortStableFunc(out, func(x, y Use) int { return int(x.From) - int(y.From) })
	for i := range out {
		out[i].Shared = slices.ContainsFunc(out, func(x Use) bool {
			return x.Name == out[i].Name && x.From.Year() == out[i].From.Year() && (x.From != out[i].From || x.To != out[i].To)
		})
	}
	return out
}

// Title is the name of the season with its year, and with its days where another has the same name.
func (u Use) Title() string {
	t := fmt.Sprintf("%s %d", u.Name, u.From.Year())
	if u.Shared {
		t += fmt.Sprintf(" (%s to %s)", u.From, u.To)
	}
	return t
}

// mayBeOfAny are the landings without a bed or species that may be of a unit, each once.
func (a *Assessment) mayBeOfAny() []survey.Unallocated {
	var out []survey.Unallocated
	kinds := map[int]bool{}
	for _, l := range a.Folder.Unallocated {
		of, known := kinds[l.Kind]
		if !known || l.Kind == 0 {
			of = slices.ContainsFunc(a.Units, func(u Unit) bool { return l.Concerns(u.Bed, u.Species) })
			kinds[l.Kind] = of
		}
		if of && !l.Cast && l.Kg > 0 {
			out = append(out, l)
		}
	}
	return out
}

func (u *Use) add(s Season) {
	plus := func(sum *float64, kg float64) {
		switch {
		case math.IsNaN(kg):
		case math.IsNaN(*sum):
			*sum = kg
		default:
			*sum += kg
		}
	}
	plus(&u.AdvisedKg, s.AdvisedKg)
	plus(&u.GrantedKg, s.GrantedKg)
	plus(&u.CutKg, s.CutKg)
	plus(&u.LeftKg, s.LeftKg())
	if s.Over() {
		u.Over++
	}
	if s.GrantedKg > 0 {
		u.Grants++
		if s.GrantOver() || math.IsNaN(s.AdvisedKg) {
			u.GrantsOver++
		}
	}
}

// Sentence says how the use of the season stands to its advice, in one sentence without its end; kg writes a weight, as
// [Kg] does, atMost one that is rounded down, as [KgDown]. Empty where nothing was granted and nothing cut.
func (u Use) Sentence(kg, atMost func(float64) string) string {
	var parts []string
	if u.CutKg > 0 && !math.IsNaN(u.AdvisedKg) {
		parts = append(parts, fmt.Sprintf("%s kg is cut", kg(u.CutKg)))
	}
	if u.UnallocatedKg > 0 && !math.IsNaN(u.AdvisedKg) {
		parts = append(parts, fmt.Sprintf("%s kg besides is unallocated, without a bed or species", kg(u.UnallocatedKg)))
	}
	if u.Over > 0 {
		parts = append(parts, counted(u.Over, "stand is over its advice", "stands are over their advice"))
	}
	if u.GrantsOver > 0 {
		parts = append(parts, fmt.Sprintf("%d of %s above it", u.GrantsOver, counted(u.Grants, "grant is", "grants are")))
	}
	if u.LeftKg > 0 && len(parts) > 0 {
		where := ""
		if u.Over > 0 {
			where = " on the others"
		}
		parts = append(parts, fmt.Sprintf("%s kg may still be cut%s", atMost(u.LeftKg), where))
		if u.UnallocatedKg > 0 {
			parts[len(parts)-1] += fmt.Sprintf(", or as little as %s kg", atMost(math.Max(u.LeftKg-u.UnallocatedKg, 0)))
		}
	}
	if len(parts) == 0 || math.IsNaN(u.AdvisedKg) {
		return ""
	}
	if u.Withheld > 0 {
		return fmt.Sprintf("%s kg is advised for %s, without %s; of all together, ", atMost(u.AdvisedKg), u.Title(),
			counted(u.Withheld, "stand whose advice is withheld", "stands whose advice is withheld")) + strings.Join(parts, "; ")
	}
	return fmt.Sprintf("Of the %s kg advised for %s, ", atMost(u.AdvisedKg), u.Title()) + strings.Join(parts, "; ")
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
