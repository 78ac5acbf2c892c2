package plots

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot/vg"
)

func TestPlain(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    int
		want string
	}{
		{0, 0, "0"}, {999, 0, "999"}, {1000, 0, "1_000"}, {1234567.89, 1, "1_234_567.9"}, {-1234, 0, "−1_234"},
		{-0.001, 1, "0.0"}, {nan, 0, "?"}, {math.Inf(1), 0, "?"}, {1e15, 0, "1_000_000_000_000_000"},
	} {
		assert.Equal(t, nbspFor(c.want), plain(c.v, c.d))
	}
}

// nbspFor reads _ as the blank that does not break.
func nbspFor(s string) string {
	return strings.ReplaceAll(s, "_", nbsp)
}

func TestMass(t *testing.T) {
	assert.Equal(t, nbspFor("9_990_kg"), mass(9994))
	assert.Equal(t, nbspFor("10_t"), mass(9996))
	assert.Equal(t, nbspFor("12.3_t"), mass(12345))
	assert.Equal(t, nbspFor("12.345_t"), exactMass(12345))
	assert.Equal(t, nbspFor("0.5_kg"), mass(0.5))
	assert.Equal(t, nbspFor("0_kg"), mass(0))
}

func TestRatioText(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 0.004: "0.00", 0.62: "0.62", 0.994: "0.99", 0.996: "1.0", 9.94: "9.9",
		9.96: "10", 17.6: "18", 2000: "over_999"} {
		assert.Equal(t, nbspFor(want), ratioText(v))
	}
}

func TestPercent(t *testing.T) {
	assert.Equal(t, nbspFor("95_%"), percent(0.95))
	assert.Equal(t, nbspFor("97.5_%"), percent(0.975))
	assert.Empty(t, percent(nan))
	assert.Equal(t, "interval", interval(0))
}

func TestFromZero(t *testing.T) {
	for _, largest := range []float64{1e-6, 0.7, 1, 3, 95, 9434, 1e7, 1e14} {
		a := fromZero(largest, 5)
		assert.Zero(t, a.lo)
		assert.GreaterOrEqual(t, a.hi, largest)
		assert.Zero(t, a.ticks[0].at)
		assert.GreaterOrEqual(t, len(a.ticks), 3, "%g", largest)
		assert.LessOrEqual(t, len(a.ticks), 7, "%g", largest)
		for i := 1; i < len(a.ticks); i++ {
			assert.NotEqual(t, a.ticks[i-1].label, a.ticks[i].label)
		}
	}
	for _, bad := range []float64{0, -1, nan, math.Inf(1), 1e300, 1e-300} {
		assert.Equal(t, fromZero(1, 5), fromZero(bad, 5))
	}
	assert.Equal(t, "0.5", fromZero(1, 3).ticks[1].label)
	assert.Equal(t, nbspFor("2_000"), fromZero(9434, 5).ticks[1].label)
}

func TestYears(t *testing.T) {
	labels := func(a axis) (out []string) {
		for _, t := range a.ticks {
			if t.label != "" {
				out = append(out, t.label)
			}
		}
		return out
	}
	a := years(2019.4, 2021.2, 10)
	assert.Equal(t, []string{"2019", "2020", "2021"}, labels(a))
	assert.Equal(t, 2019.0, a.lo)
	assert.Equal(t, 2022.0, a.hi)
	assert.Equal(t, []string{"2000", "2005", "2010"}, labels(years(1999.5, 2012, 4)))
	assert.Equal(t, []string{"2020"}, labels(years(2020, 2020, 4)))
	assert.LessOrEqual(t, len(years(1000, 9998, 5).ticks), 20)
}

func TestFit(t *testing.T) {
	assert.Equal(t, "Kittle Ledge", fit(plainText, " Kittle Ledge ", 100))
	short := fit(plainText, "Kittle Ledge, Saccharina latissima", 70)
	assert.LessOrEqual(t, plainText.width(short), vg.Length(70))
	assert.Equal(t, "Kittle Ledge…", short)
	assert.Equal(t, "…", fit(plainText, "Kittle", 1))
}

func TestWrap(t *testing.T) {
	assert.Equal(t, []string{"not estimable:", "nothing weighed"}, wrap(plainText, "not estimable: nothing weighed", 80, 3))
	assert.Len(t, wrap(plainText, "one two three four five six", 25, 2), 2)
	assert.Empty(t, wrap(plainText, "  ", 80, 3))
}

func TestClean(t *testing.T) {
	assert.Equal(t, "a b c?", clean(" a\nb\u2028c\xff\u202e "))
	assert.Equal(t, "Ø 藻", clean("Ø 藻"))
}

func TestSentence(t *testing.T) {
	assert.Equal(t, "One. Two.", sentence("One", "", " Two. "))
	assert.Empty(t, sentence())
	assert.Equal(t, "Kittle Ledge", subject("Kittle Ledge", ""))
}

func TestPlacerAvoids(t *testing.T) {
	p := &placer{area: vg.Rectangle{Max: vg.Point{X: 100, Y: 100}}}
	p.block(vg.Rectangle{Min: vg.Point{X: 0, Y: 0}, Max: vg.Point{X: 60, Y: 100}}, overText)
	places := []vg.Point{{X: 10, Y: 10}, {X: 50, Y: 10}, {X: 65, Y: 10}, {X: 95, Y: 10}}
	box, cost := p.best(20, 10, places)
	assert.Equal(t, places[2], box.Min, "the one place that is free and inside")
	assert.Less(t, cost, 5.0)
	_, cost = p.best(20, 10, nil)
	assert.True(t, math.IsInf(cost, 1))
}

func TestSpread(t *testing.T) {
	hs := []vg.Length{10, 10, 10}
	assert.Equal(t, []vg.Length{50, 20, 80}, spread([]vg.Length{50, 20, 80}, hs, 0, 100), "what is free stays")
	got := spread([]vg.Length{50, 50, 50}, hs, 0, 100)
	assert.InDelta(t, 10, float64(got[1]-got[0]), 0.1)
	assert.InDelta(t, 10, float64(got[2]-got[1]), 0.1)
	got = spread([]vg.Length{99, 98, 97}, hs, 0, 100)
	assert.LessOrEqual(t, got[0], vg.Length(95.01))
	assert.InDelta(t, 10, float64(got[0]-got[1]), 0.2)
}

func TestVerdictMarksDiffer(t *testing.T) {
	shapes := map[string]bool{}
	for _, v := range []string{verdictAbove, verdictBelow, verdictDoubt} {
		shapes[verdictMark(v).shape] = true
	}
	assert.Len(t, shapes, 3, "told apart without colour")
	assert.Equal(t, verdictMark(verdictDoubt), verdictMark("no such word"))
	assert.Equal(t, verdictMark(verdictAbove), verdictMark("Above recovery; still above the best level"))
}
