package growth

import "fmt"

// Draws are joint draws of several quantities, Chains times N of them, chain by chain. One draw index belongs together
// over all names, and over all beds and species drawn with as many draws.
type Draws struct {
	Chains, N int
	Names     []string
	X         []float64 // X[(c*N+i)*len(Names)+j]: chain c, draw i, name j
}

// Len is the number of draws, all chains together.
func (d Draws) Len() int { return d.Chains * d.N }

// Col copies the draws of one name. It panics when there is no such name: a caller's bug.
func (d Draws) Col(name string) []float64 {
	for j, n := range d.Names {
		if n == name {
			return d.col(j)
		}
	}
	panic(fmt.Sprintf("growth: no draws named %q", name))
}

func (d Draws) col(j int) []float64 {
	out := make([]float64, d.Len())
	for i := range out {
		out[i] = d.X[i*len(d.Names)+j]
	}
	return out
}
