package report

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// Rotation is rotation.csv: a row a bed that is cut in turn with the year of its next turn. last_cut is the year of the last
// cut that counts, expected_kg what its species are expected to give together at that turn.
func Rotation(a *model.Assessment) table.Table {
	t := rotationLayout.empty()
	for _, r := range a.Rotations {
		for _, turn := range r.Turns {
			last := table.Missing
			if turn.LastCut > 0 {
				last = table.Int(turn.LastCut)
			}
			t.Add(table.Text(r.Name), table.Text(turn.Bed), table.Int(turn.Year), table.Int(r.Period), last,
				num(turn.Kg.Median), num(turn.Kg.Lo), num(turn.Kg.Hi), table.Text(turn.Note))
		}
	}
	return t
}

// RotationSentence says how the order of a rotation was chosen and what it is worth.
func RotationSentence(r model.Rotation) string {
	out := fmt.Sprintf("Rotation %s: each of %s is cut in one year out of %d", r.Name, plural(len(r.Beds), "bed", "beds"), r.Period)
	switch {
	case !isNumber(r.YieldKg):
		return out + "; too little is known to tell which order yields most."
	case r.LeastKg > 0.995*r.YieldKg:
		return out + fmt.Sprintf("; about %s kg a year over %d years, in whatever order.", kilos(r.YieldKg), r.Years)
	}
	return out + fmt.Sprintf("; this order is expected to yield %s kg a year over %d years, the worst one %s.", kilos(r.YieldKg), r.Years, kilos(r.LeastKg))
}
