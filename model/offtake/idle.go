package offtake

import (
	"slices"
	"sync"
)

// The memory in which one stand was followed serves the next: each core looks at one stand after the other.
var idlePaths, idleDraws sync.Pool

// idle are paths that are not in use; what they hold means nothing.
func idle() *paths {
	if p, ok := idlePaths.Get().(*paths); ok {
		return p
	}
	return &paths{}
}

// free gives the paths back; neither they nor anything of theirs may be used again.
func (p *paths) free() {
	if p == nil {
		return
	}
	idlePaths.Put(p)
}

// sized is memory for n values, that of x where it is enough; what it holds means nothing.
func sized[T any](x []T, n int) []T { return slices.Grow(x[:0], n)[:n] }

// ofCopy asks something of a copy of the draws, which may be reordered but not kept.
func ofCopy[T any](draws []float64, ask func(x []float64) T) T {
	x, ok := idleDraws.Get().(*[]float64)
	if !ok {
		x = new([]float64)
	}
	defer idleDraws.Put(x)
	*x = append((*x)[:0], draws...)
	return ask(*x)
}
