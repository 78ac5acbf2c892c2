package plots

import "strings"

import "fmt"

// caption says what the figure shows.
func (in LimitInput) caption(rows []LimitRow) string {
	if len(rows) == 0 {
		return sentence("No bed has an advice", inventedNote(in.Invented))
	}
	told := 0
	for _, r := range rows {
		if r.told() {
			told++
		}
	}
	what := fmt.Sprintf("What limits the offtake of a year, as a share of each bed's own standing stock (median), for %d of %d "+
		"rows that have an advice", told, len(rows))
	if in.Draws > 0 {
		what += fmt.Sprintf(", %s draws", plain(float64(in.Draws), 0))
	}
	return sentence(what, "The cap is the largest share of the stock that the rules allow; replacement is what grows back; risk is "+
		"what keeps the stock above its limit", "The bar ends at the advised offtake: at the smallest of the three, or short of it "+
		"where the stock is low (the factor stands behind ×) and where it is rounded down", inventedNote(in.Invented))
}

// alt is the text alternative: every row.
func (in LimitInput) alt(rows []LimitRow) string {
	parts := []string{"Limits of the offtake by bed and species, kilograms a year"}
	for _, r := range rows {
		if !r.told() {
			parts = append(parts, clean(r.Label)+": "+r.reason())
			continue
		}
		var txt strings.Builder
		txt.WriteString(fmt.Sprintf("%s: advised %s of %s", clean(r.Label), exactMass(r.Advised), mass(r.Stock)))
		for _, k := range limitKinds {
			if v := k.of(r); finite(v) {
				txt.WriteString(fmt.Sprintf(", %s %s", k.name, mass(v)))
			}
		}
		if finite(r.LowStock) && r.LowStock < 0.995 {
			txt.WriteString(", low stock factor " + plain(r.LowStock, 2))
		}
		parts = append(parts, txt.String()+", limited by "+clean(r.LimitedBy))
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
