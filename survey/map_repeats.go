package survey

import "math"

// How rows of quadrats.csv are taken that tell of the same quadrat, day and species.
const (
	RepeatsOnce = "once" // rows that say the same count once
	RepeatsAdd  = "add"  // their covers and weights are added: several kinds under one name
)

// mergeRepeats takes rows together as the mapping says, and says which rows are gone. Rows that cannot be taken
// together stay, to be noted as repeated.
func (r *reading) mergeRepeats(q *Quadrats, how string) {
	gone := make([]bool, q.Len())
	firstOfEach(q.Len(), q.hash, q.same, func(i, first int) {
		if q.Bed[i] == 0 || q.Quadrat[i] == 0 || q.Day[i] == NoDay {
			return
		}
		switch alike := q.saysSame(i, first); {
		case how == RepeatsOnce:
			gone[i] = alike
		case q.Class != nil && (q.Class[i] > 0 || q.Class[first] > 0): // classes cannot be added
		case q.Visit[i] == q.Visit[first] && equalOrNaN(q.M2[i], q.M2[first]) && equalOrNaN(q.Weighed[i], q.Weighed[first]):
			gone[i] = true
			q.Cover[first] += q.Cover[i]
			q.Biomass[first] += q.Biomass[i]
			if q.Frond[i] != q.Frond[first] {
				q.Frond[first] = math.NaN() // the mean over both is not known without their numbers
			}
			if q.Cover[first] > 100 {
				r.found.fault(quadratsTable.file, int(q.Line[i]), "cover_pct", "layers of one species: write the cover seen from above",
					"added to that of line %d it is %.4g, above 100", q.Line[first], q.Cover[first])
			}
		}
	})
	*q = q.keep(func(i int) bool { return !gone[i] })
}

// saysSame tells whether two rows agree in everything.
func (q *Quadrats) saysSame(i, j int) bool {
	for _, v := range [][]float64{q.M2, q.Cover, q.Frond, q.Biomass, q.Weighed} {
		if !equalOrNaN(v[i], v[j]) {
			return false
		}
	}
	return q.Visit[i] == q.Visit[j]
}

func equalOrNaN(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// repeatHint says what to do with a row that repeats another.
func (r *reading) repeatHint() string {
	if t := r.found.mapped[quadratsTable.file]; t != nil && t.m.Repeats == "" {
		return `keep one of the rows; for rows that say the same, or kinds under one name, see repeats in [read."quadrats.csv"]`
	}
	return "keep one of the rows"
}
