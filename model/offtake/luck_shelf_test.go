package offtake

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Stands of one stream meet the same luck, which is drawn once whoever asks for it; where there is no more room that which was not
// asked for longest goes, and it comes back the same.
func TestLuckIsDrawnOnceForAllStandsOfAStream(t *testing.T) {
	of := func(stream string) luckOf { return luckOf{stream: stream, n: 40, years: 10} }
	s := shelf{room: 250}
	a := s.of(of("a"))
	assert.NotZero(t, a.noise)
	assert.Len(t, a.noise, 100)
	b := s.of(of("b"))
	assert.NotEqual(t, a.noise, b.noise)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() { assert.Same(t, a, s.of(of("a"))) })
	}
	wg.Wait()
	s.of(of("c"))
	assert.Same(t, a, s.of(of("a")))
	again := s.of(of("b"))
	assert.NotSame(t, b, again)
	assert.Equal(t, b.noise, again.noise)
	assert.Len(t, s.kept, 2)
	large := s.of(luckOf{stream: "large", n: 4000, years: 10})
	assert.Equal(t, []*luck{large}, s.kept)
}
