package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Against lm and svyglm (testdata/length/length.R).
func TestAllometriesAsR(t *testing.T) {
	ref := lengthReference(t)
	all := Allometries(lengthFolder(t, "uneven"), DefaultOptions())
	require.Len(t, all, 1)
	a := all[0]
	assert.Equal(t, OK, a.Status)
	assert.Equal(t, "Fucus", a.Species)
	for what, v := range map[string][2]float64{
		"n": {float64(a.Fronds), ref["lm n"]}, "quadrats": {float64(a.Quadrats), ref["lm quadrats"]},
		"b": {a.Power.Value, ref["lm b"]}, "b se": {a.Power.SE, ref["lm b se"]},
		"b lo": {a.Power.Lo, ref["lm b lo"]}, "b hi": {a.Power.Hi, ref["lm b hi"]},
		"log a": {a.LogA.Value, ref["lm log a"]}, "log a se": {a.LogA.SE, ref["lm log a se"]},
		"log a lo": {a.LogA.Lo, ref["lm log a lo"]}, "log a hi": {a.LogA.Hi, ref["lm log a hi"]},
		"spread": {a.Spread, ref["lm sigma"]}, "r2": {a.R2, ref["lm r2"]},
		"smearing": {a.Smearing, ref["lm smearing"]}, "correction": {a.Correction, ref["lm correction"]},
		"weight": {a.Weight(50), ref["lm weight 50"]}, "b se between quadrats": {a.PowerSEByQuad, ref["svyglm b se"]},
	} {
		approx(t, what, v[0], v[1], 1e-10, 0)
	}
	assert.Empty(t, a.Warnings)
}

// allometryOf fits fronds of quadrats 1 and 2 in turn.
func allometryOf(t *testing.T, lengths, wet []float64) Allometry {
	t.Helper()
	f := folderOf([]Bed{bedOf("A", 100)}, []quad{seen("A", "", "1", "Fucus", testDay, 5), seen("A", "", "2", "Fucus", testDay, 5)})
	for i, l := range lengths {
		frondAt(f, "", "", []string{"1", "2"}[i%2], "Fucus", l, wet[i])
	}
	all := Allometries(f, DefaultOptions())
	require.Len(t, all, 1)
	return all[0]
}

func TestAllometriesExact(t *testing.T) {
	var lengths, wet []float64
	for l := 10.0; l < 30; l += 2 {
		lengths, wet = append(lengths, l), append(wet, 0.02*math.Pow(l, 2.3))
	}
	a := allometryOf(t, lengths, wet)
	approx(t, "b", a.Power.Value, 2.3, 1e-12, 0)
	approx(t, "a", a.A, 0.02, 1e-12, 0)
	approx(t, "weight", a.Weight(100), 0.02*math.Pow(100, 2.3), 1e-11, 0)
	assert.Equal(t, [3]float64{10, 28, 28}, [3]float64{a.Shortest, a.Longest, a.Reach})
	assert.True(t, math.IsNaN(a.Weight(0)) && math.IsNaN(a.Weight(math.NaN())))

	wet[3] *= 10 // 0.02 16^2.3 = 11.76 g, written with a zero more
	wet[4] *= 1.01
	lengths, wet = append(lengths, 90), append(wet, blank)
	a = allometryOf(t, lengths, wet)
	require.Len(t, a.Warnings, 2)
	assert.Equal(t, "fronds up to 90 cm were measured but none above 28 cm weighed: weigh long ones", a.Warnings[0])
	assert.Equal(t, "weight far off that of other fronds of the length: 117.6 g at 16 cm (line 5)", a.Warnings[1])
}

func TestAllometriesNotEstimable(t *testing.T) {
	lengths := []float64{10, 12, 14, 16, 18, 20, 22, 24, 26, 28}
	falling, alike := make([]float64, 10), make([]float64, 10)
	for i := range lengths {
		falling[i], alike[i] = 100/lengths[i], 20
	}
	for want, a := range map[string]Allometry{
		"9 fronds weighed one by one, at least 10 needed: weigh short, middling and long ones":                       allometryOf(t, lengths, append([]float64{blank}, lengths[1:]...)),
		"1 frond weighed one by one, at least 10 needed: weigh short, middling and long ones":                        allometryOf(t, lengths[:1], lengths),
		"all fronds weighed have one length: weigh short and long ones":                                              allometryOf(t, alike, lengths),
		"longer fronds do not weigh more: look for weights and lengths in each other's place, and weigh more fronds": allometryOf(t, lengths, falling),
	} {
		assert.Equal(t, NotEstimable, a.Status)
		assert.Equal(t, want, a.Reason)
		assert.False(t, a.Power.OK)
		assert.True(t, math.IsNaN(a.A) && math.IsNaN(a.Weight(10)) && math.IsNaN(a.Power.SE))
	}
	assert.Empty(t, Allometries(folderOf([]Bed{bedOf("A", 100)}, nil), DefaultOptions()))
}
