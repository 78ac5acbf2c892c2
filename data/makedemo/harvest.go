package makedemo

import (
	"cmp"
	"slices"
)

// cast is weed that was washed up and gathered: no pressure on the bed.
type cast struct {
	bed, species, date string
	kg                 float64
	permit             string
}

var casts = []cast{
	{"quernside", thong, "2022-11-09", 260, "OM-03"},
	{stormBed, oarweed, "2024-01-17", 3400, "OM-01"},
	{stormBed, oarweed, "2024-01-22", 1900, "OM-03"},
	{stormBed, thong, "2024-01-18", 420, "OM-03"},
	{missedBed, thong, "2025-11-06", 310, "TS-15"},
	{"marrowgate", egg, "2026-02-12", 550, "TS-12"},
}

// nils are returns of holders who cut nothing.
var nils = []cast{
	{fewBed, dulse, "2023-05-31", 0, "TS-16"},
	{"marrowgate", serrate, "2025-06-30", 0, "TS-15"},
	{missedBed, oarweed, "2026-09-15", 0, "TS-16"},
}

// harvestRows are the rows of harvest.csv in the order of time.
func harvestRows(w *world) [][]string {
	rng := stream(w.seed, "returns")
	var rows [][]string
	eachPlan(func(b bed, st stand) {
		for _, c := range w.lives[Key{b.id, st.species}].cuts {
			to, estimated := "", ""
			if c.to > c.from {
				to = dateOf(c.to)
			}
			if rng.Float64() < 0.08 {
				estimated = "yes"
			}
			rows = append(rows, []string{b.id, dateOf(c.from), to, st.species, num(c.kg, 0), "cut", c.permit, estimated, ""})
		}
	})
	for _, c := range casts {
		rows = append(rows, []string{c.bed, c.date, "", c.species, num(c.kg, 0), "cast", c.permit, "yes", "cast weed, gathered above the tide line"})
	}
	for _, c := range nils {
		rows = append(rows, []string{c.bed, c.date, "", c.species, "0", "cut", c.permit, "", "nil return"})
	}
	slices.SortStableFunc(rows, func(x, y []string) int { return cmp.Compare(x[1], y[1]) })
	head := []string{"bed", "date", "date_to", "species", "wet_kg", "origin", "permit", "estimated", "notes"}
	return append([][]string{head}, rows...)
}
