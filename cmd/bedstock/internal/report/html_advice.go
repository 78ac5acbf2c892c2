package report

import (
	"fmt"
	"slices"

	"bedstock/model"
)

// counts says how many stands are in each state, most pressing first; a stand may be in several.
func counts(a *model.Assessment) []count {
	n := map[state]int{}
	for i := range a.Units {
		for _, s := range statesOf(a, &a.Units[i]) {
			n[s]++
		}
	}
	var out []count
	for s := stateAbove; s <= stateOpen; s++ {
		if n[s] > 0 {
			out = append(out, count{s.badge(), n[s]})
		}
	}
	return out
}

// advice is the advice for the whole shore in one sentence.
func advice(a *model.Assessment) string {
	if len(a.Units) == 0 {
		return "Nothing was found on any bed, so no amount can be advised."
	}
	total, beds := 0.0, map[string]bool{}
	heads := a.Uses()
	bySeason, told := make([]float64, len(heads)), make([]bool, len(heads))
	silent := 0
	for i := range a.Units {
		u := &a.Units[i]
		if u.Status == model.NotAssessed {
			silent++
		}
		for _, s := range u.Seasons {
			if s.Status == model.Assessed {
				total += s.AdvisedKg
				at := slices.IndexFunc(heads, func(h model.Use) bool { return h.Name == s.Name && h.From == s.From && h.To == s.To })
				bySeason[at], told[at] = bySeason[at]+s.AdvisedKg, true
				if s.AdvisedKg > 0 {
					beds[u.Bed] = true
				}
			}
		}
	}
	rest := unassessed(a)
	switch {
	case total > 0:
		var parts []string
		for i, h := range heads {
			if told[i] {
				parts = append(parts, fmt.Sprintf("%s kg in %s", atMost(bySeason[i]), h.Title()))
			}
		}
		return fmt.Sprintf("At most %s, from %d of %s together%s.", listed(parts), len(beds),
			plural(len(a.Folder.Beds), "bed", "beds"), rest)
	case silent == len(a.Units):
		return fmt.Sprintf("No amount can be advised for any of the %s: %s.", plural(len(a.Units), "stand", "stands"), commonReason(a))
	}
	return "Nothing should be cut this year" + rest + "."
}

// unassessed goes on with a sentence: which stands are closed or not assessed.
func unassessed(a *model.Assessment) string {
	closed, unknown, withheld := 0, 0, 0
	for i := range a.Units {
		u := &a.Units[i]
		switch {
		case u.Status == model.Closed || u.Status == model.Resting:
			closed++
		case slices.ContainsFunc(u.Seasons, withheldAdviceOf):
			withheld++
		case u.Status == model.NotAssessed:
			unknown++
		}
	}
	out := ""
	if closed > 0 {
		out += fmt.Sprintf("; %d of %d stands are closed or resting", closed, len(a.Units))
	}
	if unknown > 0 {
		out += fmt.Sprintf("; for %d of %d too little is known", unknown, len(a.Units))
	}
	if withheld > 0 {
		out += fmt.Sprintf("; for %d of %d the advice is withheld and in no sum here", withheld, len(a.Units))
	}
	return out
}

// uses says how what was granted and what is cut stand to the advice, a sentence a season.
func uses(a *model.Assessment, opt Options) []string {
	var out []string
	all := a.Uses()
	if opt.public != nil {
		all = opt.public.uses
	}
	for _, u := range all {
		if s := u.Sentence(kilos, atMost); s != "" {
			out = append(out, s+".")
		}
	}
	return out
}

// commonReason is why most stands are not assessed.
func commonReason(a *model.Assessment) string {
	n := map[string]int{}
	best := ""
	for i := range a.Units {
		r := plainReason(a.Units[i].Reason)
		if n[r]++; n[r] > n[best] {
			best = r
		}
	}
	if n[best] < len(a.Units) {
		return "mostly: " + best
	}
	return best
}
