package makedemo

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

const invented = "INVENTED DATA: no such place, nobody cut or counted anything"

var observers = []string{"RM", "TK", "EB"}

func bedRows() [][]string {
	rows := [][]string{{"bed", "name", "shore", "zone", "area_m2", "area_se_m2", "lat", "lon", "status", "reason", "from"}}
	for _, b := range beds {
		se := ""
		if b.areaSE > 0 {
			se = num(b.areaSE, 0)
		}
		at := []string{b.id, b.name, b.shore, b.zone, num(b.area(), 0), se, num(b.lat, 4), num(b.lon, 4)}
		rows = append(rows, append(slices.Clone(at), "open", "", ""))
		if b.id == closedBed {
			rows = append(rows, append(slices.Clone(at), "closed", waterReason, closedOn))
		}
	}
	return rows
}

func stratumRows() [][]string {
	rows := [][]string{{"bed", "stratum", "area_m2"}}
	for _, b := range beds {
		for _, s := range b.strata {
			if s.name != "" {
				rows = append(rows, []string{b.id, s.name, num(s.m2, 0)})
			}
		}
	}
	return rows
}

// lowWater is the height of the lowest low water of each year's survey, m above chart datum; invented.
var lowWater = map[int]string{2022: "0.6", 2023: "0.3", 2024: "0.7", 2025: "0.6", 2026: "0.5"}

func surveyRows() [][]string {
	rows := [][]string{{"bed", "survey", "from", "to", "species_sought", "people", "low_water_m", "protocol", "notes"}}
	for _, year := range surveyYears {
		for i, b := range beds {
			if !slices.Contains(b.surveyYears(), year) {
				continue
			}
			from, notes := surveyDay(i, year), invented
			if b.id == missedBed && year == missedYear {
				notes += "; lower stratum not reached, swell"
			}
			rows = append(rows, []string{b.id, fmt.Sprint(year), dateOf(from), dateOf(from + b.lastDay()),
				strings.Join(b.sought, ";"), "R. Marl; T. Kestle; E. Brandish", lowWater[year], b.protocol, notes})
		}
	}
	return rows
}

// stratumDay is the day of the survey on which a stratum is done, 0 for the first.
func (b bed) stratumDay(h int) int { return h * 2 / len(b.strata) }

func (b bed) lastDay() int { return b.stratumDay(len(b.strata) - 1) }

func eventRows() [][]string {
	rows := [][]string{{"bed", "date", "kind", "fraction_left", "notes"}}
	for _, e := range events {
		told := ""
		if e.told > 0 {
			told = num(e.told, 2)
		}
		rows = append(rows, []string{e.bed, e.date, e.kind, told, "invented: " + e.notes})
	}
	return rows
}

func closureRows() [][]string {
	return [][]string{
		{"bed", "species", "from", "to", "reason"},
		{controlBed, "", "2022-01-01", "", "control bed, not to be cut"},
		{closedBed, "", closedOn, "", waterReason},
		{stormBed, "", "2024-02-01", "2025-07-31", "rest after the storm"},
	}
}

func decisionRows(w *world) [][]string {
	rows := [][]string{{"bed", "species", "season", "from", "to", "permit", "kg", "decided_by", "decided_on", "reference", "reason"}}
	type decision struct {
		season int
		cells  []string
	}
	var all []decision
	eachPlan(func(b bed, st stand) {
		for _, g := range w.lives[Key{b.id, st.species}].granted {
			s := seasons[g.season]
			cells := func(permit string, kg float64) []string {
				return []string{b.id, st.species, s.name, dateOf(s.from), dateOf(s.to), permit, num(kg, 0), b.shore + " shore committee",
					dateOf(s.from - 9), fmt.Sprintf("%s-%s-%s", b.shore[:2], dateOf(s.from)[:4], s.name), st.plan.reasons[g.season]}
			}
			if g.season == len(seasons)-1 && st.plan.fixed { // the running season is granted permit by permit
				for _, p := range st.plan.permits {
					all = append(all, decision{g.season, cells(p, tidyKg(g.kg/float64(len(st.plan.permits))))})
				}
				continue
			}
			all = append(all, decision{g.season, cells("", g.kg)})
		}
	})
	slices.SortStableFunc(all, func(x, y decision) int { return cmp.Compare(x.season, y.season) })
	for _, d := range all {
		rows = append(rows, d.cells)
	}
	return rows
}

func permitRows() [][]string {
	rows := [][]string{{"permit", "bed", "species", "share"}}
	eachPlan(func(b bed, st stand) {
		n := len(st.plan.permits)
		for i, p := range st.plan.permits {
			share := roundTo(1/float64(n), 0.01)
			if i == 0 {
				share = 1 - float64(n-1)*share
			}
			rows = append(rows, []string{p, b.id, st.species, num(share, 2)})
		}
	})
	return rows
}

func eachPlan(do func(bed, stand)) {
	for _, b := range beds {
		for _, st := range b.stands {
			if st.plan != nil {
				do(b, st)
			}
		}
	}
}

func speciesRows() [][]string {
	rows := [][]string{{"species", "peak_month", "amplitude", "min_length_cm", "leave_cm", "recruit_cm"}}
	blank := func(x float64) string {
		if x == 0 {
			return ""
		}
		return num(x, 2)
	}
	for _, sp := range kindNames {
		k := kinds[sp]
		rows = append(rows, []string{sp, blank(k.peak), blank(k.amplitude), num(k.minLength, 0), num(k.leave, 0), blank(k.recruit)})
	}
	return rows
}

// rulesText is rules.toml: what the invented committees agreed on; all else is left at the defaults.
const rulesText = `# INVENTED DATA: rules of the demo. Keys that are not here have their defaults.
as_of = ` + AsOf + `

[[season]]
name = "spring"
from = "03-15"
to   = "06-30"
share = 0.7

[[season]]
name = "autumn"
from = "08-15"
to   = "10-15"
share = 0.3

[dataset]
id       = "invented-ockenmere"
title    = "INVENTED DATA: seaweed beds of Ockenmere and Thrumley Sound, surveyed from 2022 to 2026"
abstract = "INVENTED DATA. No such place: cover, weights and lengths of seaweeds in quadrats on transects, made up to try bedstock with."
creator  = ["Invented shore office"]
contact  = "Invented shore office <nobody@example.org>"
licence  = "CC0 1.0"
language = "en"
`
