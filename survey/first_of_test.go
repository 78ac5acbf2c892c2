package survey

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The first of all that are the same is found, also where hashes say nothing.
func TestFirstOfEach(t *testing.T) {
	v := []int{3, 1, 3, 2, 1, 3}
	for name, hash := range map[string]func(int) uint64{
		"good":         func(i int) uint64 { return uint64(v[i]) * 0x9e3779b97f4a7c15 },
		"all the same": func(int) uint64 { return ^uint64(0) },
	} {
		var got [][2]int
		same := func(i, j int) bool { return v[i] == v[j] }
		firstOfEach(len(v), hash, same, func(i, first int) { got = append(got, [2]int{i, first}) })
		assert.Equal(t, [][2]int{{2, 0}, {4, 1}, {5, 0}}, got, name)
		assert.Equal(t, []int32{0, 1, 0, 3, 1, 0}, firstsOf(len(v), hash, same), name)
	}
	firstOfEach(0, nil, nil, nil)
	assert.Empty(t, firstsOf(0, nil, nil))
}
