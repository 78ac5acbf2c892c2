package survey

// areaSince is the day from which the bed has had the area of that row: rows before it with the same area and standard
// error (a bed that was closed, or renamed) are of the same measurement, and its error is the same. It is [NoDay] where
// that is the first row.
func (b Bed) areaSince(p BedPeriod) Day {
	since := NoDay
	for i, q := range b.Periods {
		if i > 0 && (q.Area != b.Periods[i-1].Area || q.AreaSE != b.Periods[i-1].AreaSE) {
			since = q.From
		}
		if q.From == p.From {
			break
		}
	}
	return since
}

// shareVariance is the part of the variance of a mean over the bed, times A², that the uncertainty of the areas of
// strata adds,
//
//	Σ_h v(A_h) ((ybar_h - ybar)² - v(ybar_h - ybar)),   ybar = Σ_h A_h ybar_h / A
//
// no term below 0. ybar_h - ybar moves with the sampled quadrats; as the areas do not, the expected excess of its
// square, v = (1 - 2 A_h/A) v(ybar_h) + v(ybar), is taken off as in Goodman (1960). An error that all strata have in common
// changes no mean. sampled is the variance of the total with areas as if known.
func (d *design) shareVariance(y []float64, s bedTotal, sampled float64) float64 {
	v := 0.0
	for h, st := range d.strata {
		if st.areaSE == 0 {
			continue
		}
		from := s.means[h] - s.total/d.area
		excess := (1-2*st.area/d.area)*orZero(d.meanVariance(y, s, h)) + orZero(sampled)/(d.area*d.area)
		v += st.areaSE * st.areaSE * max(0, from*from-excess)
	}
	return v
}
