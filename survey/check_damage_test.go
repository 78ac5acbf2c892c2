package survey

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Labels that lost their zeros are those of a map of all labels, whatever is written in the columns.
func TestLostZerosAreThoseOfThePlainWay(t *testing.T) {
	label := rapid.StringMatching(`0{0,3}[0-9]{0,2}|0?[a-c]0?|0[1-9][-/.]\d|\d{1,2} (jan|June)|\d{4}-\d\d-\d\d`)
	rapid.Check(t, func(t *rapid.T) {
		f := &Folder{Names: append(rapid.SliceOfNDistinct(label.Filter(func(s string) bool { return s != "" }), 2, 12, rapid.ID).Draw(t, "names"), "")}
		slices.Sort(f.Names)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		id := func() uint32 { return uint32(rng.IntN(len(f.Names))) }
		q := &f.Quadrats
		for i := range rapid.IntRange(0, 30).Draw(t, "rows") {
			q.Stratum, q.Transect, q.Quadrat, q.Bed = append(q.Stratum, 0), append(q.Transect, id()), append(q.Quadrat, id()), append(q.Bed, id()%2)
			q.Line = append(q.Line, int32(i+2))
		}
		slow, quick := newChecker(f, &findings{}), newChecker(f, &findings{})
		slow.slowLostZeros()
		quick.lostZeros()
		require.Equal(t, slow.found.list, quick.found.list)
		for _, name := range f.Names {
			if dateLabel.MatchString(name) || pairLabel.MatchString(name) {
				require.True(t, strings.ContainsAny(name, "-/. "), name)
			}
		}
	})
}
