package growth

// layBlocks lays out what of θ and the errors moves jointly, and the first frame: all of θ, for what the surveys leave open
// lies across its parts, with the errors that last on most beds, as the means and they are hardly told apart.
func (p *poolRun) layBlocks() {
	p.block = []int{0, 1, 2, 3, 4}
	if p.hold.cutSD > 0 {
		p.block = append(p.block, 5)
	}
	for _, j := range p.shared.wide(p.beds) {
		p.block = append(p.block, thetas+j)
	}
	h := &p.hold
	first := common{logR: h.logR.mean, logK: h.logK.mean, phi: 0.6 * h.phi, omega: 0.6 * h.omega, w: 0.6}
	at := make([]float64, p.width())
	first.theta(at)
	sd := append([]float64{h.logR.sd, h.logK.sd, 0.5 * h.phi, 0.5 * h.omega, 0.5, h.cutSD}, h.errSD...)
	p.rounds = 1
	n := len(p.block)
	p.frame = frame{centre: make([]float64, n), l: make([]float64, n*n)}
	for k, j := range p.block {
		p.frame.centre[k], p.frame.l[k*n+k] = at[j], sd[j]
	}
}

// fewLead is the share of jumps of θ that lead anywhere below which θ, held by what the beds stand at, is what is slow.
const fewLead = 0.25

// pace moves θ twice a sweep where few of its jumps have led anywhere.
func (p *poolRun) pace() {
	tried, led := 0, 0
	for _, c := range p.chains {
		tried, led = tried+c.tried, led+c.led
		c.tried, c.led = 0, 0
	}
	p.rounds = 1
	if float64(led) < fewLead*float64(tried) {
		p.rounds = 2
	}
}

// width is how many numbers of θ and the errors a sweep leaves behind.
func (p *poolRun) width() int { return thetas + len(p.hold.errSD) }
