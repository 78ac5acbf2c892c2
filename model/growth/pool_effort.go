package growth

// effort is how long the sampler works.
type effort struct {
	warmUp   []int // sweeps a chain in each phase, after which the frames are laid anew
	points   int   // least number of points of all chains together, before thinning; see [bedPoints]
	attempts int   // each but the first lengthens the run, see [poolRun.run]
}

// early is the percentage of the first run after which the frames are laid anew: those of the warm-up were laid by few points.
const early = 30

// fewPoints is how many points of every bed a run has at least.
const fewPoints = 4000

// usual is the effort for so many beds. Few are run twice as long unless the run is to be brief, which costs little and steadies
// what is advised.
func usual(beds int, brief bool) effort {
	points := min(max(800000/max(beds, 1), fewPoints), 2*fewPoints)
	if brief {
		points = fewPoints
	}
	return effort{warmUp: []int{15, 30, 60, 100}, points: points, attempts: 12}
}
