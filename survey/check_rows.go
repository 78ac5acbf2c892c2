package survey

// lookedThrough is what going through all rows finds, before any of it is noted.
type lookedThrough struct {
	measured measured
	first    []int32 // of every row of quadrats.csv, the first row of the same quadrat
	copies   *copyList
	rounds   []round // nil where they are not asked for

	labels, quadrats, weights *findings // each in the order in which it is noted
}

// lookThrough does what takes longest with many rows, side by side, the longest first.
func (c *checker) lookThrough(opt Options, withRounds bool) *lookedThrough {
	var out lookedThrough
	if out.first = opt.first; len(out.first) != c.f.Quadrats.Len() {
		out.first = c.f.Quadrats.firstRows()
	}
	look := []func(){
		func() { out.measured.quadratLengths = c.quadratLengths().seek() },
		func() {
			if withRounds {
				out.rounds = rounds(c.f, opt.WindowDays)
			}
		},
		func() { out.copies = c.copied(out.first) },
		func() {
			m := c.quadratWeights()
			m.find() // single ones are judged by their cover
			out.measured.quadratWeights = m
			out.weights = c.apart(func(c *checker) { c.weights(m) })
		},
		func() { out.quadrats = c.apart(func(c *checker) { c.quadrats(out.first) }) },
		func() {
			out.labels = c.apart(func(c *checker) {
				c.alikeLabels()
				c.dateLabels()
				c.lostZeros()
			})
		},
		func() { c.measureOthers(&out.measured) },
	}
	inParallel(len(look), func(i int) { look[i]() })
	return &out
}

// apart is what checks find that run beside others, to be joined where it is their turn. They may not ask what was found
// before.
func (c *checker) apart(checks func(c *checker)) *findings {
	own := *c
	own.found = &findings{most: c.found.most, files: c.found.files, mapped: c.found.mapped}
	checks(&own)
	return own.found
}
