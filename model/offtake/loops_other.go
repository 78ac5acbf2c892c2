//go:build !amd64

package offtake

func tallyExact(p *paths, groups, of []int)          { p.countExact(groups, of) }
func tallyFraction(p *paths, groups, of []int)       { p.countFraction(groups, of) }
func watchFractions(p *paths, v *view, from, to int) { p.watchFraction(v, from, to) }
