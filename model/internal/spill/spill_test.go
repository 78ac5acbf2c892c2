package spill

import (
	"bytes"
	"math"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func opened(t *testing.T, limit int) *File {
	dir := t.TempDir()
	s, err := Open(dir, limit)
	require.NoError(t, err)
	if s == nil {
		t.Skip("no files here: " + runtime.GOOS)
	}
	t.Cleanup(s.Close)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left, "nobody sees the file")
	return s
}

// What was written is there when it is looked at again, although all is let go of again and again: the limit is none.
func TestNumbersComeBack(t *testing.T) {
	s := opened(t, 0)
	const slices, n = 200, 50_000
	var all [slices][]float64
	for i := range all {
		all[i] = s.Floats(n)
	}
	var wg sync.WaitGroup
	for g := range 4 {
		wg.Go(func() {
			for round := range 5 {
				for i := g; i < slices; i += 4 {
					for k := range all[i] {
						if round > 0 && all[i][k] != float64(i*n+k+round-1) {
							t.Errorf("round %d, slice %d, number %d", round, i, k)
							return
						}
						all[i][k] = float64(i*n + k + round)
					}
				}
			}
		})
	}
	wg.Wait()
}

// Parts longer than what is copied at once come whole, while the file is let go of.
func TestJoin(t *testing.T) {
	long := make([]byte, piece+piece/2)
	for i := range long {
		long[i] = byte(i * i >> 7)
	}
	parts := [][]byte{[]byte("a"), long, nil, []byte("end")}
	want := slices.Concat(parts...)
	var none *File
	assert.True(t, bytes.Equal(want, none.Join(parts...)))
	s := opened(t, 0)
	assert.True(t, bytes.Equal(want, s.Join(parts...)))
	assert.GreaterOrEqual(t, s.used, len(want), "it stands in the file")
	assert.Empty(t, s.Join())
}

// What is given back serves the next of its size, and no two slices share anything.
func TestWhatIsFreeServesAgain(t *testing.T) {
	s := opened(t, math.MaxInt)
	a, b := s.Floats(1000), s.Floats(1000)
	for i := range a {
		a[i], b[i] = 1, 2
	}
	assert.Equal(t, 1.0, a[999])
	s.Free(a)
	used := s.used
	c := s.Floats(999) // as many pages
	assert.Same(t, &a[0], &c[0])
	assert.Equal(t, used, s.used)
	assert.Equal(t, 2.0, b[999])
	s.Free(make([]float64, 5000)) // not of the file
	assert.Len(t, s.Floats(3), 3)
}

// Without a file, and where the disk is full, slices are made in memory.
func TestWithoutRoomAllIsInMemory(t *testing.T) {
	var none *File
	assert.Len(t, none.Floats(10000), 10000)
	none.Free(none.Floats(10000))
	none.Close()
	s := opened(t, math.MaxInt)
	s.back = func(int) bool { return false }
	assert.Len(t, s.Floats(10000), 10000)
	assert.Zero(t, s.used)
}

// Columns hold what they held, words and what is no number stay where they are.
func TestColumnsAreTheSame(t *testing.T) {
	type day int32
	type rows struct {
		A []uint32
		B []day
		C []float64
		D []uint8
		E []string
		F []float64
		G int
	}
	of := func() rows {
		x := rows{E: []string{"a"}, G: 7}
		for i := range 5001 {
			x.A, x.B, x.C, x.D = append(x.A, uint32(i)), append(x.B, day(-i)), append(x.C, float64(i)/3), append(x.D, uint8(i))
		}
		return x
	}
	got := of()
	Columns(opened(t, 0), &got)
	assert.Equal(t, of(), got)
	Columns(nil, &got)
	assert.Equal(t, of(), got)
}
