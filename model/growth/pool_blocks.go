package growth

import "slices"

// always are the parts of θ that move jointly: the means with σ, φ, ω, σ, the means. The first follows what ties them
// together, the others go further by themselves.
var always = [][]int{{0, 1, 4}, {2}, {3}, {4}, {0, 1}}

// layBlocks lays the blocks, of which the last has the errors that last on most beds too, as the means and they are hardly
// told apart; those of the reported share where it is not known; and their first frames.
func (p *poolRun) layBlocks() {
	last := slices.Clone(always[len(always)-1])
	for _, j := range p.shared.wide(p.beds) {
		last = append(last, thetas+j)
	}
	p.blocks = append(slices.Clone(always[:len(always)-1]), last)
	if p.hold.cutSD > 0 {
		p.blocks = append(p.blocks, []int{5}, []int{0, 5})
	}
	first := common{logR: p.hold.logR.mean, logK: p.hold.logK.mean, phi: 0.6 * p.hold.phi, omega: 0.6 * p.hold.omega, w: 0.6}
	at := make([]float64, p.width())
	first.theta(at)
	sd := append([]float64{p.hold.logR.sd, p.hold.logK.sd, 0.7, 0.7, 0.7, p.hold.cutSD}, p.hold.errSD...)
	for _, b := range p.blocks {
		f := frame{centre: make([]float64, len(b)), l: make([]float64, len(b)*len(b))}
		for k, j := range b {
			f.centre[k], f.l[k*len(b)+k] = at[j], sd[j]
		}
		p.frames = append(p.frames, f)
	}
}

// width is how many numbers of θ and the errors a sweep leaves behind.
func (p *poolRun) width() int { return thetas + len(p.hold.errSD) }
