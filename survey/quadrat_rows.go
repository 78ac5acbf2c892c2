package survey

import "slices"

// firstRows is, of every row, the first row of the same quadrat and day. Rows of a quadrat mostly stand together, so
// that only the first of each run is looked up.
func (q *Quadrats) firstRows() []int32 {
	same := func(i, j int32) bool { return sameQuadrat(q, i, j) && q.Bed[i] == q.Bed[j] }
	heads := slices.Concat(inStretches(q.Len(), func(from, to int) (heads []int32) { // of runs
		for i := int32(from); i < int32(to); i++ {
			if i == 0 || !same(i, i-1) {
				heads = append(heads, i)
			}
		}
		return heads
	})...)
	hash := func(k int) uint64 {
		i := heads[k]
		return hashPlace(q.Day[i], q.Bed[i], q.Stratum[i], q.Transect[i], q.Quadrat[i])
	}
	firsts := firstsOf(len(heads), hash, func(k, l int) bool { return same(heads[k], heads[l]) })
	out := make([]int32, q.Len())
	for k, head := range heads {
		end := len(out)
		if k+1 < len(heads) {
			end = int(heads[k+1])
		}
		for i := int(head); i < end; i++ {
			out[i] = heads[firsts[k]]
		}
	}
	return out
}

func hashPlace(day Day, ids ...uint32) uint64 {
	h := uint64(uint32(day))
	for _, id := range ids {
		h = (h ^ uint64(id)) * 0x9e3779b97f4a7c15
		h ^= h >> 29
	}
	return h
}

// repeat is a row that is the same as an earlier one, the first of its kind.
type repeat struct{ row, first int }

// fewRows is how many rows of a quadrat are looked through one by one.
const fewRows = 32

// repeats lists the rows that are the same as an earlier one. Rows that are the same are of one quadrat; where the few rows
// of each stand together, they are compared with one another alone.
func (q *Quadrats) repeats(first []int32, same func(i, j int) bool) (out []repeat) {
	type stretch struct {
		repeats []repeat
		apart   bool // rows of a quadrat do not stand together, or are many
	}
	found := inStretches(len(first), func(from, to int) (s stretch) {
		for i := from; i < to; i++ {
			head := int(first[i])
			if head != i && first[i-1] != first[i] || i-head >= fewRows {
				return stretch{apart: true}
			}
			for j := head; j < i; j++ {
				if same(i, j) {
					s.repeats = append(s.repeats, repeat{i, j})
					break
				}
			}
		}
		return s
	})
	for _, s := range found {
		if s.apart {
			return q.repeatsAnywhere(same)
		}
		out = append(out, s.repeats...)
	}
	return out
}

// repeatsAnywhere lists them wherever rows of a quadrat stand.
func (q *Quadrats) repeatsAnywhere(same func(i, j int) bool) (out []repeat) {
	for i, first := range firstsOf(q.Len(), q.hash, same) {
		if int(first) != i {
			out = append(out, repeat{i, int(first)})
		}
	}
	return out
}
