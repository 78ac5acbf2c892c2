package survey

import "maps"

// readDecisions reads decisions.csv.
func (r *reading) readDecisions() {
	type row struct {
		Bed       textCell   `csv:"bed"`
		Species   textCell   `csv:"species"`
		Season    textCell   `csv:"season"`
		From      dayCell    `csv:"from"`
		To        dayCell    `csv:"to"`
		Permit    textCell   `csv:"permit"`
		Kg        numberCell `csv:"kg"`
		DecidedBy textCell   `csv:"decided_by"`
		DecidedOn dayCell    `csv:"decided_on"`
		Reference textCell   `csv:"reference"`
		Reason    textCell   `csv:"reason"`
	}
	rows, lines := readSmall[row](r, &decisionsTable)
	seen := newKeys(&decisionsTable, r.found)
	for i, w := range rows {
		d := Decision{Bed: w.Bed.s, Species: r.names.of(w.Species.s), Season: w.Season.s, Permit: w.Permit.s,
			From: w.From.Day, To: w.To.Day, Kg: w.Kg.orNaN(), DecidedBy: w.DecidedBy.s, DecidedOn: w.DecidedOn.Day,
			Reference: w.Reference.s, Reason: w.Reason.s, Line: lines[i]}
		if !seen.once(d.Line, d.Bed, foldSpecies(d.Species), d.Season, w.From.key(), d.Permit, w.DecidedOn.key(),
			d.Reference) {
			continue
		}
		r.ordered("decisions.csv", d.Line, "to", d.From, d.To)
		r.dated("decisions.csv", d.Line, "decided_on", d.DecidedOn)
		r.f.Decisions = append(r.f.Decisions, d)
	}
}

// readPermits reads permits.csv.
func (r *reading) readPermits() {
	type row struct {
		Permit  textCell   `csv:"permit"`
		Bed     textCell   `csv:"bed"`
		Species textCell   `csv:"species"`
		Share   numberCell `csv:"share"`
	}
	rows, lines := readSmall[row](r, &permitsTable)
	seen := newKeys(&permitsTable, r.found)
	for i, w := range rows {
		p := Permit{Permit: w.Permit.s, Bed: w.Bed.s, Species: r.names.of(w.Species.s), Share: w.Share.orNaN(),
			Line: lines[i]}
		if !seen.once(p.Line, p.Permit, p.Bed, foldSpecies(p.Species)) {
			continue
		}
		r.f.Permits = append(r.f.Permits, p)
	}
	r.shareOut()
}

// shareOut notes the permits by which more than the whole offtake of a bed and species is shared out. A permit without
// species counts for every species that others name.
func (r *reading) shareOut() {
	type key struct{ bed, species string }
	sums := map[key]float64{}
	all := map[string]float64{}
	for _, p := range r.f.Permits {
		k := key{p.Bed, p.Species}
		sums[k] += p.Share
		if p.Species == "" {
			all[p.Bed] += p.Share
		}
	}
	noted := maps.Clone(sums)
	clear(noted)
	for _, p := range r.f.Permits {
		k := key{p.Bed, p.Species}
		sum := sums[k]
		if p.Species != "" {
			sum += all[p.Bed]
		}
		if _, done := noted[k]; !done && sum > 1+1e-9 {
			noted[k] = sum
			r.found.fault("permits.csv", p.Line, "share", "shares of a bed and species add up to at most 1",
				"the shares of bed %s%s add up to %.4g", p.Bed, ofSpecies(p.Species), sum)
		}
	}
}

func ofSpecies(s string) string {
	if s == "" {
		return ""
	}
	return ", " + s + ","
}
