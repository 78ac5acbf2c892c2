package plan

import "math/rand/v2"

// spreadOver is n shares of [0, 1), spread evenly: consecutive terms of van der Corput's sequence in a prime base from a
// random start, the Halton sequence in one dimension. Each is uniform (to 1e-9), and any run of them falls evenly.
//
// References:
//   - Halton, J. H.: On the efficiency of certain quasi-random sequences of points in evaluating multi-dimensional
//     integrals. Numerische Mathematik 2 (1960) 84-90
//   - Robertson, B. L., Brown, J. A., McDonald, T. and Jaksons, P.: BAS: balanced acceptance sampling of natural
//     resources. Biometrics 69 (2013) 776-784
func spreadOver(n, base int, rng *rand.Rand) []float64 {
	period := uint64(1)
	for period < 1<<30 {
		period *= uint64(base)
	}
	start := rng.Uint64N(period)
	out := make([]float64, n)
	for i := range out {
		out[i] = mirrored(start+uint64(i), uint64(base))
	}
	return out
}

// mirrored is a number with its digits mirrored at the point.
func mirrored(k, base uint64) float64 {
	v, place := 0.0, 1.0
	for ; k > 0; k /= base {
		place /= float64(base)
		v += place * float64(k%base)
	}
	return v
}
