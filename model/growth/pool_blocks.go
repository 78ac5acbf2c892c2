package growth

import "math"

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
	at := make([]float64, p.width())
	(&common{logR: h.logR.mean, logK: h.logK.mean}).theta(at)
	sd := append([]float64{h.logR.sd, h.logK.sd, 0.8 * h.phi, 0.8 * h.omega, 0.8, h.cutSD}, h.errSD...)
	n := len(p.block)
	p.jumps, p.apart, p.rest = 1, 1, 1
	p.frame = bentFrame{frame{centre: make([]float64, n), l: make([]float64, n*n)}, [2]bend{straight, straight}}
	p.off = levelling{math.Inf(1), 1}
	for k, j := range p.block {
		p.frame.centre[k], p.frame.l[k*n+k] = at[j], sd[j]
	}
}

// isSpread tells the parts of θ that have a sign for convenience, see [common].
func isSpread(j int) bool { return j >= 2 && j <= 4 }

// farAbove is how many sd the mean of a spread lies above 0 from which it is kept above: one of a half-normal lies 1.3.
const farAbove = 1.7

// lay lays the frame of θ by the later two thirds of the values passed, all chains together. A spread that may be next to none
// is centred at 0, and as its density is even falls with nothing else; one that lies far above is kept there.
func (p *poolRun) lay() {
	width, n := p.width(), len(p.block)
	var passed []float64
	for _, path := range p.paths {
		for k := len(path) / width / 3; k < len(path)/width; k++ {
			for _, j := range p.block {
				v := path[k*width+j]
				if isSpread(j) {
					v = math.Abs(v)
				}
				passed = append(passed, v)
			}
		}
	}
	var even []int
	var rms []float64
	for k, j := range p.block {
		if !isSpread(j) {
			continue
		}
		mean, v := momentsOf(passed[k:], n)
		if p.above[j] = mean > farAbove*math.Sqrt(v); !p.above[j] {
			even, rms = append(even, k), append(rms, math.Sqrt(mean*mean+v))
		}
	}
	p.frame.fitBent(passed, n, even...)
	p.off = p.frame.bends[0].levelling()
	for i, k := range even {
		p.frame.centre[k], p.frame.l[k*n+k] = 0, rms[i]
	}
	for _, c := range p.chains {
		c.now.lift(p.above)
	}
}

// momentsOf are the mean and the variance of every n-th number.
func momentsOf(x []float64, n int) (mean, variance float64) {
	var sum, sq, m float64
	for i := 0; i < len(x); i += n {
		m++
		sum += x[i]
		sq += x[i] * x[i]
	}
	return sum / m, max(sq/m-sum/m*(sum/m), 0)
}

// fewLead is the share of jumps of θ that lead anywhere below which it is θ, held by what the beds stand at, that is slow, and
// manyJumps is how many a sweep then takes: one that leads on is worth more than an ellipse, which costs as much as three or four.
const (
	fewLead   = 0.25
	manyJumps = 4
)

// pace is how many jumps of θ a sweep should take, and how many sweeps apart it should move along an ellipse: many, and in each sweep,
// where few of its jumps have led anywhere since it was asked last.
func (p *poolRun) pace() (jumps, apart int) {
	tried, led := 0, 0
	for _, c := range p.chains {
		tried, led = tried+c.tried, led+c.led
		c.tried, c.led = 0, 0
	}
	if float64(led) < fewLead*float64(tried) {
		return manyJumps, 1
	}
	return 1, 2
}

// width is how many numbers of θ and the errors a sweep leaves behind.
func (p *poolRun) width() int { return thetas + len(p.hold.errSD) }
