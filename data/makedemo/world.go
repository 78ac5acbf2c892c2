package makedemo

import "math"

const (
	bedFullSD  = 0.06 // of log of the weight at full cover, between beds
	yearFullSD = 0.03 // the same, between years
	shorter    = 0.3  // power of B/K by which a thinned stand has shorter fronds
)

// world is a coast with its truth, before anybody surveys it.
type world struct {
	seed  uint64
	truth Truth
	rocks []rock            // per bed
	lives map[Key]history   // cuts and grants
	full  map[Key][]float64 // kg/m2 at full cover, per survey
}

func makeWorld(seed uint64) *world {
	w := &world{seed: seed, lives: map[Key]history{}, full: map[Key][]float64{}}
	w.truth = Truth{R: map[Key]float64{}, K: map[Key]float64{}, Occupied: map[Key]float64{}, Stock: map[Key][]StockAt{},
		Sigma: sigma, SpeciesR: map[string]float64{}, SpeciesK: map[string]float64{}}
	for _, sp := range kindNames {
		rng := stream(seed, "species|"+sp)
		w.truth.SpeciesR[sp] = kinds[sp].r * lognormal(rng, speciesRSD)
		w.truth.SpeciesK[sp] = kinds[sp].k * lognormal(rng, speciesKSD)
	}
	for i, b := range beds {
		w.rocks = append(w.rocks, makeRock(seed, b))
		for _, st := range b.stands {
			w.settle(i, b, st)
		}
	}
	return w
}

// settle draws r and K of a stand and runs its history.
func (w *world) settle(i int, b bed, st stand) {
	key := Key{b.id, st.species}
	rng := stream(w.seed, "stand|"+b.id+"|"+st.species)
	t := &w.truth
	t.Keys = append(t.Keys, key)
	t.Occupied[key] = w.rocks[i].occupied(b, st.species)
	bedFull := lognormal(rng, bedFullSD)
	for range b.surveyYears() {
		w.full[key] = append(w.full[key], kinds[st.species].full*bedFull*lognormal(rng, yearFullSD))
	}
	if st.onlyYear > 0 {
		h := history{}
		for _, y := range b.surveyYears() {
			kg := 0.0
			if y == st.onlyYear {
				kg = st.onlyKg
			}
			h.stocks = append(h.stocks, kg)
		}
		w.lives[key] = h
		return
	}
	t.R[key] = t.SpeciesR[st.species] * lognormal(rng, bedRSD)
	t.K[key] = t.SpeciesK[st.species] * lognormal(rng, bedKSD) * b.area() * t.Occupied[key]
	var room []float64
	for _, full := range w.full[key] {
		room = append(room, full*b.area()*t.Occupied[key])
	}
	w.lives[key] = live(rng, b, st, t.R[key], t.K[key], b.surveyDays(i), room)
}

// surveyYears are the years in which the bed was surveyed.
func (b bed) surveyYears() []int {
	if b.years != nil {
		return b.years
	}
	return surveyYears
}

func (b bed) surveyDays(i int) []int {
	var out []int
	for _, y := range b.surveyYears() {
		out = append(out, surveyDay(i, y))
	}
	return out
}

// frondMean is the mean frond length of a stand (cm) at a stock: thinned stands have shorter fronds.
func (w *world) frondMean(key Key, kg float64) float64 {
	k := w.truth.K[key]
	if k == 0 {
		return 0.8 * kinds[key.Species].frond
	}
	return kinds[key.Species].frond * math.Pow(min(kg/k, 1), shorter)
}
