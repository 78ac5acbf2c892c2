package survey

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The index finds what a walk through all landings does, whether those of a kind are asked together or each by itself, and of
// the folder of an earlier day too.
func TestUnallocatedIndexAgainstAWalk(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var rows []string
		for i := range rapid.IntRange(1, 28).Draw(rt, "rows") {
			pick := func(of ...string) string { return rapid.SampledFrom(of).Draw(rt, "cell") }
			rows = append(rows, fmt.Sprintf("%s,2030-04-%02d,,%s,%s,%s,%s", pick("", "mixed", "West", "East", "skerry", "holm", "stack"),
				i+1, pick("", "mixed", "Fucus serratus", "Palmaria palmata"), pick("0", "5", "7.5"),
				pick("", "", "cast"), pick("", "A", "B")))
		}
		whole := landingsOf(t, rows...)
		for _, f := range []*Folder{whole, whole.Until(day("2030-04-14")), eachByItself(whole)} {
			x := NewUnallocatedIndex(f)
			for _, bed := range []string{"skerry", "holm", "stack", "elsewhere"} {
				for _, species := range []string{"Fucus serratus", "Palmaria palmata", "Chondrus crispus"} {
					var all []*Unallocated
					var cut []Unallocated
					for i := range f.Unallocated {
						u := &f.Unallocated[i]
						if !u.Concerns(bed, species) {
							continue
						}
						all = append(all, u)
						if !u.Cast && u.Kg > 0 {
							cut = append(cut, *u)
						}
					}
					assert.Equal(rt, all, x.Concerning(bed, species))
					assert.Equal(rt, cut, x.MayBeOf(bed, species))
				}
			}
		}
	})
}

// eachByItself is a folder that does not say which landings are of a kind.
func eachByItself(f *Folder) *Folder {
	out := f.Until(day("2031-01-01"))
	for i := range out.Unallocated {
		out.Unallocated[i].Kind = 0
	}
	return out
}
