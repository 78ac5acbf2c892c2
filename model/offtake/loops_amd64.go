package offtake

// tallyExact and tallyFraction do what countExact and countFraction do, bit for bit, two draws at a time. watchFractions does
// what watchFraction does.

//go:noescape
func tallyExact(p *paths, groups, of []int)

//go:noescape
func tallyFraction(p *paths, groups, of []int)

//go:noescape
func watchFractions(p *paths, v *view, from, to int)
