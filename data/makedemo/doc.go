// Package makedemo makes the invented demo survey: a coast that does not exist, its beds, surveys, cuts, storms and
// rules, from growth rates and ceilings that are known because they were chosen.
//
// [Generate] returns the files of a survey folder together with the [Truth] behind them. The stock of each bed and
// species follows the seasonal logistic
//
//	dB/dt = r g(t) B (1 - B/K),   g(t) = 1 + a cos 2π(t - tp)
//
// with dated cuts and storms and with lognormal noise from survey to survey. On each survey date the stock is spread
// over the strips of every stratum so that it adds up to the total exactly; transects are strips drawn at random, and
// quadrats are drawn within them with the strip's own mean. The expected value of a design-based estimate is therefore
// the true total.
//
// The same seed gives the same bytes. Other seeds give other coasts of the same kind, for tests that need a known truth.
package makedemo
