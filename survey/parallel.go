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
