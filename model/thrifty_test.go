package model

import (
	"math"
	"runtime"
	"testing"
)

// thrifty fails where reading a text of that size takes more memory than 64 times the text and 4 MiB. What is taken
// is counted for the whole program, so a first look that is too high is taken again.
func thrifty(t *testing.T, size int, read func()) {
	t.Helper()
	took := uint64(math.MaxUint64)
	most := 4<<20 + 64*uint64(size)
	for range 3 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		read()
		runtime.ReadMemStats(&after)
		if took = min(took, after.TotalAlloc-before.TotalAlloc); took <= most {
			return
		}
	}
	t.Errorf("%d bytes of text took %d bytes of memory", size, took)
}
