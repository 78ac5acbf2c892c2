package offtake

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a stand gives does not depend on what the memory held before: the same in the order of the stands as in that of others,
// of more and fewer draws and years, with surveys and without.
func TestMemoryOfOtherStandsLeavesNoTrace(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	var again []func() string
	var first []string
	for c := range 24 {
		s, rules, kg, h := randomCase(rng, [...]int{1, 3, 4, 103, 900}[c%5])
		of := func() string {
			return fmt.Sprint(WhatIf(s, rules, kg), Choices(s, rules, []float64{0, h}), Ahead(s, rules, Plan{kg, h}, Plan{}), Explain(s, rules))
		}
		again, first = append(again, of), append(first, of())
	}
	for range 100 {
		c := rng.IntN(len(again))
		assert.Equal(t, first[c], again[c]())
	}
}
