package survey

import "math"

const (
	fewestUsual = 8   // values that tell what is custom
	leastSpread = 0.1 // of logs: values that are nearly all the same are no measure of how far one may be off

	// oddScore is the robust z score from which a value is doubted. Iglewicz & Hoaglin (1993) take 3.5 for a single
	// batch; a folder has thousands of values: 4.5 with the second condition of [custom.slip] raises 6 false alarms in 200
	// simulated clean folders (testdata/falsealarms.txt, by .ci/long/falsealarms), copies and all others counted.
	oddScore = 4.5
	// fitScore is how near to the usual a value must lie once it is moved by whole digits.
	fitScore = 2.5
)

// custom is what values of one kind are mostly like, on the log:
//
//	median  of log x
//	spread  1.4826 times the median absolute deviation from it, the standard deviation if logs are normal
//
// Units: those of log x. Domain: x > 0.
//
// References: Hampel, F. R. (1974) The influence curve and its role in robust estimation. J. Am. Stat. Assoc. 69,
// 383-393. Iglewicz, B. & Hoaglin, D. C. (1993) How to Detect and Handle Outliers. ASQC Quality Press (the robust z).
type custom struct {
	median, spread float64
	n              int
}

// usualOf measures logs, and changes them. Too few are counted alone.
func usualOf(logs []float64) custom {
	u := custom{n: len(logs)}
	if u.tells() {
		u.median = middle(logs)
		u.spread = max(leastSpread, 1.4826*middleOff(logs, u.median))
	}
	return u
}

// tells says whether there are values enough.
func (u custom) tells() bool { return u.n >= fewestUsual }

// score is the robust z of a log.
func (u custom) score(logX float64) float64 { return (logX - u.median) / u.spread }

// slip is the number of digits by which a value is too large (below 0: too small), 0 where it is not: the value lies
// outside the spread, and moved by so many digits it lies well inside.
func (u custom) slip(logX float64) int {
	if !u.tells() || math.Abs(u.score(logX)) < oddScore {
		return 0
	}
	k := int(math.Round((logX - u.median) / math.Ln10))
	if k == 0 || k < -3 || k > 3 || math.Abs(u.score(logX-float64(k)*math.Ln10)) > fitScore {
		return 0
	}
	return k
}
