package offtake

import (
	"fmt"
	"math"
)

// Finding is what is said of pressure against recovery.
type Finding string

const (
	AboveRecovery       Finding = "above recovery"
	BelowRecovery       Finding = "below recovery"
	CannotTell          Finding = "cannot tell"
	NothingCut          Finding = "no cut"
	PressureNotAssessed Finding = "not assessed"
)

// StillAboveBest stands beside a verdict where the stock can be cut down further without yielding less.
const StillAboveBest = "still above the best level"

// Verdict sets what was cut between two surveys against what grew in that time. A number not had is NaN.
type Verdict struct {
	Finding    Finding
	CutKg      float64 // median where the cut itself is uncertain
	RecoveryKg float64 // median over the draws
	RecoveryLo float64 // 95 % interval
	RecoveryHi float64
	PAbove     float64 // probability that more was cut than grew
	Ratio      float64 // cut over recovery, median; only where some recovery is sure
	RatioLo    float64 // 95 % interval
	RatioHi    float64 // +Inf where the recovery may be nil
	PAboveBest float64 // probability that the stock is above that for most yield
	Note       string  // StillAboveBest or empty
}

// sure is the probability from which a verdict is given.
const sure = 0.975

// Pressure sets a cut (kg) against the draws of recovery (kg) in the same time.
//
//	P(above) = P(cut > recovery): above recovery from 0.975 on, below recovery down to 0.025, else cannot tell
//
// The ratio cut over recovery is given only where P(recovery > 0) is at least 0.975. aboveBest is the probability that
// the stock is above that for most yield, NaN if not known; from 0.5 on the verdict carries the note of it. A cut of 0
// is "no cut"; a cut of NaN (nobody recorded it) or no draws "not assessed". Pressure panics on a negative or infinite
// cut and on draws that are NaN.
func Pressure(cutKg float64, recovery []float64, aboveBest float64) Verdict {
	cut := make([]float64, len(recovery))
	for i := range cut {
		cut[i] = cutKg
	}
	if math.IsNaN(cutKg) || len(recovery) == 0 {
		return notAssessed(cutKg, aboveBest)
	}
	return PressureDraws(cut, recovery, aboveBest)
}

// PressureDraws is [Pressure] where the cut is uncertain too, such as by a reported share, as draws that belong to
// those of recovery. It panics also unless both are as many and not none.
func PressureDraws(cut, recovery []float64, aboveBest float64) Verdict {
	if len(cut) != len(recovery) || len(cut) == 0 {
		panic(fmt.Sprintf("offtake: %d draws of the cut and %d of recovery", len(cut), len(recovery)))
	}
	above, growing, one := 0, 0, true
	for i, g := range recovery {
		if !natural(cut[i]) || math.IsNaN(g) {
			panic(fmt.Sprintf("offtake: draw %d is a cut of %g and a recovery of %g kg", i, cut[i], g))
		}
		one = one && cut[i] == cut[0]
		if cut[i] > g {
			above++
		}
		if g > 0 {
			growing++
		}
	}
	v := notAssessed(cut[0], aboveBest)
	if !one {
		v.CutKg = Quantile(cut, 0.5)
	}
	grew := ofCopy(recovery, func(x []float64) Span { return spanAt(x, 0.025, 0.975) })
	v.RecoveryKg, v.RecoveryLo, v.RecoveryHi = grew.Median, grew.Lo, grew.Hi
	v.PAbove, _ = probability(above, len(cut))
	v.Finding = finding(v.PAbove)
	if one && cut[0] == 0 {
		v.Finding = NothingCut
	}
	if p, _ := probability(growing, len(cut)); p >= sure {
		r := ratio(cut, recovery)
		v.Ratio, v.RatioLo, v.RatioHi = r.Median, r.Lo, r.Hi
	}
	if aboveBest >= 0.5 {
		v.Note = StillAboveBest
	}
	return v
}

func finding(pAbove float64) Finding {
	switch {
	case pAbove >= sure:
		return AboveRecovery
	case pAbove <= 1-sure+1e-12:
		return BelowRecovery
	}
	return CannotTell
}

// ratio of cut over recovery: median and 95 % interval. A draw without recovery is a ratio beyond any number; there are
// at most as many as lie above the interval.
func ratio(cut, recovery []float64) Span {
	x := make([]float64, len(cut))
	for i := range x {
		if x[i] = math.Inf(1); recovery[i] > 0 {
			x[i] = cut[i] / recovery[i]
		}
	}
	return spanAt(x, 0.025, 0.975)
}

func notAssessed(cutKg, aboveBest float64) Verdict {
	nan := math.NaN()
	return Verdict{Finding: PressureNotAssessed, CutKg: cutKg, RecoveryKg: nan, RecoveryLo: nan, RecoveryHi: nan,
		PAbove: nan, Ratio: nan, RatioLo: nan, RatioHi: nan, PAboveBest: aboveBest}
}
