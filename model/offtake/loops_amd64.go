package offtake

// tallyExact and tallyFraction do what countExact and countFraction do, bit for bit, two draws at a time. watchFractions does
// what watchFraction does. Nothing is checked in them: there is a year at least, all numbers of p and v reach to the end of the last
// group and year, and of has room for every group.

//go:noescape
func tallyExact(p *paths, groups, of []int)

//go:noescape
func tallyFraction(p *paths, groups, of []int)

//go:noescape
func watchFractions(p *paths, v *view, from, to int)
