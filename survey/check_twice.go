package survey

import "fmt"

// visitedTwice notes surveys with two visits of the same quadrats, on two days: two surveys that were taken for one, or
// a quadrat torn in two by a mistyped date. In a survey that is declared only a few may be so; where many are, labels
// begin anew every day.
func (c *checker) visitedTwice(rs []round, window int) {
	var merged, torn []string
	var first, firstTorn round
	for _, r := range rs {
		twice, of, example := c.twoDays(r)
		words := fmt.Sprintf("%d in %s, as %s", twice, r.label, example)
		switch {
		case twice == 0:
		case r.declared == nil:
			if merged == nil {
				first = r
			}
			merged = append(merged, words)
		case twice*fewTorn <= of:
			if torn == nil {
				firstTorn = r
			}
			torn = append(torn, words)
		}
	}
	bed := c.f.Beds[rs[0].bed].ID
	if merged != nil {
		c.note(first, "date", "a mistyped date? List two surveys in surveys.csv if there were two; give quadrats laid anew labels of their own",
			"quadrats of bed %s visited twice within survey_window_days (%d), one survey is made of them: %s", bed, window, some(merged, 3))
	}
	if torn != nil {
		c.note(firstTorn, "date", "a mistyped date? Give quadrats laid anew labels of their own",
			"quadrats of bed %s stand on two dates of a survey: %s", bed, some(torn, 3))
	}
}

// fewTorn is how many quadrats there are at least to each that was visited twice, where that is a slip.
const fewTorn = 5

// twoDays counts the quadrats of a survey whose label was visited on a day before, and all of them, and names one.
func (c *checker) twoDays(r round) (twice, of int, example string) {
	q := &c.f.Quadrats
	for i, b := range r.rows {
		if i == 0 {
			of++
			continue
		}
		a := r.rows[i-1]
		if sameQuadrat(q, a, b) {
			continue
		}
		of++
		if q.Quadrat[a] == q.Quadrat[b] && q.Transect[a] == q.Transect[b] && q.Stratum[a] == q.Stratum[b] {
			if twice++; twice == 1 {
				example = fmt.Sprintf("%s on %s and %s", c.quadratName(a), q.Day[a], q.Day[b])
			}
		}
	}
	return twice, of, example
}

// quadratName is the label of the quadrat of a row, after those of its stratum and transect.
func (c *checker) quadratName(row int32) string {
	q := &c.f.Quadrats
	s := ""
	for _, id := range []uint32{q.Stratum[row], q.Transect[row], q.Quadrat[row]} {
		if id != 0 && s != "" {
			s += " "
		}
		s += c.f.Names[id]
	}
	return s
}
