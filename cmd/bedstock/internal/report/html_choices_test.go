package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A share says which limit it exceeds, and the one advised is told from the round one beside it.
func TestChoicesSayWhatTheyExceed(t *testing.T) {
	a := demoOnce()
	seen := map[string]bool{}
	for i := range a.Units {
		u := &a.Units[i]
		if u.Basis == nil || !(u.AdvisedShare() > 0) {
			continue
		}
		rows, _ := choicesOf(a, u, futuresOf(a, u), nil)
		shares := map[string]bool{}
		for _, r := range rows {
			assert.False(t, shares[r.Share], "%s %s: two rows of %s", u.Bed, u.Species, r.Share)
			shares[r.Share], seen[r.Mark] = true, true
			assert.Equal(t, r.Advised, r.Mark == "advised", "%s %s", u.Bed, u.Species)
		}
	}
	assert.True(t, seen["advised"] && seen["risk too high"] && seen["above the cap"] && seen[""], "%v", seen)
}
