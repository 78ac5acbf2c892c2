package survey

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// inParallel calls do for 0 to n-1 on as many cores as there are. What each call does must not depend on the others.
func inParallel(n int, do func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
}

// stretchRows is how many rows of a long table are looked through at a time.
const stretchRows = 1 << 16

// inStretches calls do for stretches of n rows, on as many cores as there are. What is worked out of each must not depend
// on the others; it comes back in their order.
func inStretches[T any](n int, do func(from, to int) T) []T {
	out := make([]T, (n+stretchRows-1)/stretchRows)
	inParallel(len(out), func(k int) { out[k] = do(k*stretchRows, min(n, (k+1)*stretchRows)) })
	return out
}
