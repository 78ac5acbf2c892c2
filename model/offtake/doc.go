// Package offtake turns joint draws of growth and stock into a sustainable offtake: reference points of a pulse-cut
// logistic stand with storms, a projection of the stand under a rule, the limits of the rule and which of them holds.
//
// Weights are kg wet, times years, fractions 0-1. The package takes numbers and returns structs; it reads no file and
// prints nothing.
package offtake
