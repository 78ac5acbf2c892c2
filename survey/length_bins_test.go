package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNiceWidth(t *testing.T) {
	for w, want := range map[float64]float64{0: 1, 0.9: 1, 1: 1, 1.1: 2, 2: 2, 2.3: 5, 6: 10, 16.7: 20, 0.013: 0.02, 500: 500} {
		approx(t, "width", niceWidth(w), want, 1e-12, 0)
	}
}

// By hand: the fronds of TestLengthsByHand in classes of 5 cm.
func TestLengthBins(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 100)}, []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500),
		clipped("A", "", "2", "Fucus", testDay, 50, 3000)})
	addFronds(f, "1", "Fucus", []float64{30, 10}, nil)
	addFronds(f, "2", "Fucus", []float64{40}, nil)
	bins := theLengths(t, f).Bins
	require.Len(t, bins, 9)
	for k, b := range bins {
		assert.Equal(t, [2]float64{float64(5 * k), float64(5*k + 5)}, [2]float64{b.From, b.To})
		want := map[int][3]float64{2: {1, 0.002 / 0.0115, 0.2 / 14}, 6: {1, 0.002 / 0.0115, 1.8 / 14}, 8: {1, 0.0075 / 0.0115, 12. / 14}}[k]
		assert.Equal(t, int(want[0]), b.Measured)
		approx(t, "fronds", b.Fronds, want[1], 1e-13, 0)
		approx(t, "weight", b.Weight, want[2], 1e-13, 0)
	}
}

// Classes hold all fronds and all weight, and agree with the shares below and above their bounds, of fronds and of
// lognormal lengths alike.
func TestLengthBinsAddUp(t *testing.T) {
	for _, means := range []bool{false, true} {
		f, seen := lengthFolder(t, "uneven"), 0
		f.Species[0].RecruitLen = Some(30)
		for i := range f.Quadrats.Frond {
			if means {
				f.Quadrats.Frond[i] = 20 + 5*float64(i%7)
			}
		}
		s := theLengths(t, f)
		fronds, weight, measured := 0.0, 0.0, 0
		for _, b := range s.Bins {
			require.GreaterOrEqual(t, b.Fronds, 0.0)
			require.GreaterOrEqual(t, b.Weight, 0.0)
			if b.From == 40 {
				approx(t, "long", weight, 1-s.LongEnough.Value, 1e-12, 0)
				seen++
			}
			fronds, weight, measured = fronds+b.Fronds, weight+b.Weight, measured+b.Measured
			if b.To == 30 {
				approx(t, "recruits", fronds, s.Recruits.Value, 1e-12, 0)
				seen++
			}
		}
		assert.Equal(t, 2, seen, "both bounds are those of classes")
		approx(t, "fronds", fronds, 1, 1e-12, 0)
		approx(t, "weight", weight, 1, 1e-12, 0)
		assert.Equal(t, s.Fronds, measured)
		assert.Equal(t, means, s.Means > 0)
		assert.False(t, math.IsNaN(s.Mean.SE))
	}
}
