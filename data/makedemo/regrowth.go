package makedemo

import "math/rand/v2"

const plotSD = 0.05 // of log of a plot's weight

// plot is one regrowth plot: cut at its start, then measured. No event of [events] fell on its bed meanwhile.
type plot struct {
	name, species, bed, start string
	m2, k, left               float64 // m2; kg/m2 at the ceiling; share of the ceiling left by the first cut
	r                         float64 // over that of the species
	days                      []int   // measures, days after the start
	again                     int     // day of a second cut, 0: none
	takes                     float64 // share of what stands that it takes
}

var plots = []plot{
	{name: "D1", species: dulse, bed: "quernside", start: "2023-08-02", m2: 1, k: 1.5, left: 0.12, r: 1,
		days: []int{1, 92, 183, 274, 365, 456, 547, 639, 731}},
	{name: "D2", species: dulse, bed: "tarrowick", start: "2023-08-03", m2: 1, k: 1.7, left: 0.15, r: 0.95,
		days: []int{1, 61, 152, 244, 305, 364, 426, 517, 609, 730, 822}, again: 365, takes: 0.7},
	{name: "K1", species: oarweed, bed: missedBed, start: "2023-08-01", m2: 2, k: 11, left: 0.1, r: 1,
		days: []int{1, 122, 214, 306, 366, 488, 580, 672, 732, 854, 946, 1038, 1090}},
	{name: "A1", species: egg, bed: controlBed, start: "2024-03-12", m2: 2, k: 10, left: 0.06, r: 1,
		days: []int{1, 117, 206, 298, 388, 480, 572, 662, 754, 846}}, // still far from its ceiling: no bend
	{name: "S1", species: serrate, bed: controlBed, start: "2026-04-03", m2: 1, k: 6, left: 0.2, r: 1,
		days: []int{1, 60, 119}}, // too short
}

// regrowthRows are the rows of regrowth.csv.
func regrowthRows(w *world) [][]string {
	var rows [][]string
	for _, p := range plots {
		rows = append(rows, p.rows(stream(w.seed, "plot|"+p.name), w.truth.SpeciesR[p.species]*p.r)...)
	}
	return rows
}

func (p plot) rows(rng *rand.Rand, r float64) [][]string {
	start := day(p.start)
	k := p.k * p.m2 * 1000
	standing := k * p.left
	cells := func(on int, event string, grams float64) []string {
		return []string{p.name, p.species, p.bed, dateOf(start + on), event, num(tidyGrams(grams), 0), num(p.m2, 2)}
	}
	rows := [][]string{cells(0, "cut", k*(0.85-p.left)*lognormal(rng, plotSD))}
	now, cutDone := 0, p.again == 0
	grow := func(to int) {
		standing = grown(standing, r, k, kinds[p.species], years(float64(start+now)), years(float64(start+to)))
		now = to
	}
	for _, d := range p.days {
		if !cutDone && d > p.again {
			grow(p.again)
			taken := tidyGrams(standing * p.takes)
			rows = append(rows, cells(p.again, "cut", taken))
			standing -= taken
			cutDone = true
		}
		grow(d)
		rows = append(rows, cells(d, "measure", standing*lognormal(rng, plotSD)))
	}
	return rows
}
