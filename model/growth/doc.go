// Package growth holds the logistic regrowth of a seaweed stand: the exact seasonal map with dated cuts, least squares
// for regrowth plots, and the posterior of r, K and the stock of a bed from its series of surveys and takes.
//
//	dB/dt = r g(t) B (1 - B/K),   g(t) = 1 + a cos 2π(t - tp)
//
// B is the stock (kg wet), r the growth rate per year net of ordinary winter loss, K the ceiling (kg wet), t time in
// years, a the amplitude (0-1) and tp the time of fastest growth within the year. The package takes numbers and
// returns structs; it reads no file and prints nothing.
package growth
