package survey

// dropVisits removes the given rows, which stand for species that a mapping left out, where another row tells of the
// same quadrat and day. The first of those that alone tell of their quadrat stays.
func (q *Quadrats) dropVisits(rows []int) {
	stands := make([]bool, q.Len())
	for _, i := range rows {
		stands[i] = true
	}
	order := make([]int, 0, q.Len()) // rows that name a species first
	for i := range q.Len() {
		if !stands[i] {
			order = append(order, i)
		}
	}
	order = append(order, rows...)
	hash := func(i int) uint64 {
		i = order[i]
		return hashPlace(q.Day[i], q.Bed[i], q.Stratum[i], q.Transect[i], q.Quadrat[i])
	}
	same := func(a, b int) bool {
		i, j := order[a], order[b]
		return q.Quadrat[i] == q.Quadrat[j] && q.Day[i] == q.Day[j] && q.Bed[i] == q.Bed[j] &&
			q.Transect[i] == q.Transect[j] && q.Stratum[i] == q.Stratum[j]
	}
	drop := make([]bool, q.Len())
	firstOfEach(len(order), hash, same, func(a, _ int) { drop[order[a]] = stands[order[a]] })
	*q = q.keep(func(i int) bool { return !drop[i] })
}
