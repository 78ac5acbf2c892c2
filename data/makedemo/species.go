package makedemo

const (
	egg     = "Ascophyllum nodosum"
	serrate = "Fucus serratus"
	oarweed = "Laminaria digitata"
	dulse   = "Palmaria palmata"
	thong   = "Himanthalia elongata"
)

// kind is how a species of the demo grows and looks. r and k are the medians of the embedded species table; the values
// that do not stand there are invented within plausible bounds.
type kind struct {
	r, k      float64 // per year; kg wet per m2 of occupied rock
	peak      float64 // month of fastest growth, 1 to 13
	amplitude float64 // swing of the seasonal rate, 0-1
	full      float64 // kg/m2 at a cover of 100 %
	frond     float64 // mean frond length of a full stand, cm
	maxFrond  float64 // longest frond drawn, cm
	wrack     bool    // shares the rock with the other wracks: a quadrat holds one of them at most
	wetA      float64 // wet weight of a frond, g = wetA * cm^wetB
	wetB      float64
	minLength float64
	leave     float64
	recruit   float64
}

var kinds = map[string]kind{
	egg: {r: 0.4, k: 10, full: 17, frond: 95, maxFrond: 240, wrack: true, wetA: 0.015, wetB: 2,
		minLength: 40, leave: 25, recruit: 15},
	serrate: {r: 0.7, k: 6, full: 11, frond: 46, maxFrond: 190, wrack: true, wetA: 0.02, wetB: 2, minLength: 30, leave: 15},
	oarweed: {r: 0.8, k: 10, peak: 5, amplitude: 0.6, full: 17, frond: 115, maxFrond: 390, wetA: 0.033, wetB: 2,
		minLength: 60, leave: 20, recruit: 30},
	dulse: {r: 2, k: 1.6, full: 3, frond: 25, maxFrond: 95, wetA: 0.012, wetB: 2, minLength: 12, leave: 4},
	thong: {r: 0.8, k: 4, full: 7.5, frond: 115, maxFrond: 240, wrack: true, wetA: 0.005, wetB: 2,
		minLength: 80, leave: 30, recruit: 20},
}

// kindNames are the species of the demo in a fixed order.
var kindNames = []string{egg, serrate, thong, oarweed, dulse}
