package growth

import (
	"fmt"
	"slices"

	"bedstock/model/internal/spill"
)

// Draws are joint draws of several quantities, Chains times N of them, chain by chain. One draw index belongs together
// over all names.
type Draws struct {
	Chains, N int
	Names     []string
	X         []float64 // X[(c*N+i)*len(Names)+j]: chain c, draw i, name j
}

// Len is the number of draws, all chains together.
func (d Draws) Len() int { return d.Chains * d.N }

// Col copies the draws of one name. It panics when there is no such name: a caller's bug.
func (d Draws) Col(name string) []float64 { return d.Cols(name)[0] }

// Cols copies those of several names, for which the draws are gone through once. It panics as Col does.
func (d Draws) Cols(names ...string) [][]float64 { return d.oneIn(1, names) }

// oneIn copies those of one draw in so many, the first and every step on.
func (d Draws) oneIn(step int, names []string) [][]float64 {
	const few = 128 // draws that stay in the cache from one name to the next
	w, at, out := len(d.Names), make([]int, len(names)), make([][]float64, len(names))
	n := (d.Len() + step - 1) / step
	for c, name := range names {
		if at[c] = slices.Index(d.Names, name); at[c] < 0 {
			panic(fmt.Sprintf("growth: no draws named %q", name))
		}
		out[c] = make([]float64, n)
	}
	for from := 0; from < n; from += few {
		for c, j := range at {
			part, x := out[c][from:min(from+few, n)], d.X[from*step*w:]
			for i := range part {
				part[i] = x[i*step*w+j]
			}
		}
	}
	return out
}

// Has tells whether there are draws of that name.
func (d Draws) Has(name string) bool { return slices.Contains(d.Names, name) }

// with is d with one more column at the end, kept in a spill.
func (d Draws) with(in *spill.File, name string, col []float64) Draws {
	w := len(d.Names)
	out := Draws{Chains: d.Chains, N: d.N, Names: append(slices.Clip(d.Names), name), X: in.Floats(len(d.X) + len(col))[:0]}
	for i, v := range col {
		out.X = append(append(out.X, d.X[i*w:(i+1)*w]...), v)
	}
	return out
}

func (d Draws) col(j int) []float64 {
	out := make([]float64, d.Len())
	for i := range out {
		out[i] = d.X[i*len(d.Names)+j]
	}
	return out
}
