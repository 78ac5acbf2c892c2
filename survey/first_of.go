package survey

// firstShares is into how many shares things are divided by their hash: what is the same is in one share, and shares are
// looked through side by side.
const firstShares = 8

// firstsOf is, of every i of n, the first that is the same.
func firstsOf(n int, hash func(int) uint64, same func(i, j int) bool) []int32 {
	hashes, out := make([]uint64, n), make([]int32, n)
	counts := inStretches(n, func(from, to int) (counts [firstShares]int) {
		for i := from; i < to; i++ {
			hashes[i] = hash(i)
			counts[shareOf(hashes[i])]++
		}
		return counts
	})
	alike := func(i, j int) bool { return hashes[i] == hashes[j] && same(i, j) }
	inParallel(firstShares, func(share int) {
		of := 0
		for k := range counts {
			of += counts[k][share]
		}
		slots := newFirstSlots(of)
		for i, h := range hashes {
			if shareOf(h) == share {
				out[i] = int32(slots.first(i, h, alike))
			}
		}
	})
	return out
}

func shareOf(hash uint64) int { return int(hash >> 61) }

// firstOfEach calls again for every i of n that is the same as an earlier one, with the first of these.
func firstOfEach(n int, hash func(int) uint64, same func(i, j int) bool, again func(i, first int)) {
	slots := newFirstSlots(n)
	for i := range n {
		if first := slots.first(i, hash(i), same); first != i {
			again(i, first)
		}
	}
}

// firstSlots holds things by their hash: index + 1; 0 is free. Open addressing with linear probing keeps it at 8 to 16
// bytes an entry.
type firstSlots []int32

func newFirstSlots(n int) firstSlots {
	size := 1
	for size < 2*n {
		size *= 2
	}
	return zeros[int32](size)
}

// first is the first that was the same as i, which is kept where there was none: i then.
func (s firstSlots) first(i int, hash uint64, same func(i, j int) bool) int {
	for k := hash; ; k++ {
		slot := &s[k&uint64(len(s)-1)]
		if *slot == 0 {
			*slot = int32(i + 1)
			return i
		}
		if first := int(*slot - 1); same(i, first) {
			return first
		}
	}
}
