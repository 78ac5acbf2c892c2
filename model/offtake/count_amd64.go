package offtake

// tallyExact and tallyFraction do what countExact and countFraction do, bit for bit, two draws at a time.

//go:noescape
func tallyExact(p *paths, groups, of []int)

//go:noescape
func tallyFraction(p *paths, groups, of []int)
