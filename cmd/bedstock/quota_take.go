package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// take is one amount that is tried: kg a year, or a fraction of what is long enough to cut.
type take struct {
	model.Pair
	value    float64
	fraction bool
}

// takes reads all that --take and --fraction try, and tells everything that is wrong with them at once.
func (c quotaCmd) takes(f *survey.Folder) ([]take, error) {
	var out []take
	var wrong []string
	for _, o := range []struct {
		option   string
		given    []string
		fraction bool
	}{{"--take", c.Take, false}, {"--fraction", c.Fraction, true}} {
		for _, text := range o.given {
			t, err := readTake(o.option, text, o.fraction, f)
			if err == nil && slices.Contains(out, t) {
				err = fmt.Errorf("%s %q is given twice", o.option, text)
			}
			if err != nil {
				wrong = append(wrong, err.Error())
				continue
			}
			out = append(out, t)
		}
	}
	if len(wrong) > 0 {
		return nil, usageError(strings.Join(wrong, "\n"))
	}
	return out, nil
}

// readTake reads BED/SPECIES=VALUE; the value is kg, or a fraction from 0 to 1 that may be written as a percentage.
func readTake(option, text string, fraction bool, f *survey.Folder) (take, error) {
	t := take{fraction: fraction}
	at := strings.LastIndexByte(text, '=')
	if at < 0 {
		return t, fmt.Errorf("%s %q is not %s", option, text, takeForm(fraction))
	}
	bed, species, label, err := asked(option, text[:at], f)
	if err != nil {
		return t, err
	}
	if label != "" {
		return t, fmt.Errorf("%s %q: %q follows the species, where %s is meant", option, text, label, takeForm(fraction))
	}
	t.Pair = model.Pair{Bed: bed, Species: species}
	value, ok := strings.TrimSpace(text[at+1:]), false
	if fraction {
		t.value, ok = share(value)
	} else {
		t.value, ok = plainNumber(strings.TrimSuffix(value, "kg"))
	}
	switch {
	case !ok:
		return t, fmt.Errorf("%s %q: %q is not a number; %s is meant", option, text, value, takeForm(fraction))
	case fraction && !(t.value >= 0 && t.value <= 1):
		return t, fmt.Errorf("%s %q: %s is not a fraction from 0 to 1", option, text, value)
	case t.value < 0:
		return t, fmt.Errorf("%s %q: %s kg is less than nothing", option, text, value)
	case t.value > mostKg:
		return t, fmt.Errorf("%s %q: more than %g kg, a slip of the keyboard", option, text, float64(mostKg))
	}
	return t, nil
}

// share reads a fraction that may be written as a percentage.
func share(text string) (float64, bool) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	v, ok := plainNumber(number)
	if percent {
		v /= 100
	}
	return v, ok
}

// plainNumber reads a decimal number, neither hexadecimal nor infinite.
func plainNumber(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !strings.ContainsAny(text, "xXpPiInN_")
}

// mostKg is more than any bed bears.
const mostKg = 1e9

func takeForm(fraction bool) string {
	if fraction {
		return "BED/SPECIES=FRACTION, as in =0.25"
	}
	return "BED/SPECIES=KG, as in =1200"
}

// tried shows what the takes come to beside the advice.
func (c quotaCmd) tried(a *model.Assessment, takes []take) screen {
	var all []model.Tried
	limits := table.Table{Title: "The limits, kg a year", Columns: []table.Column{col("bed"), col("species"), col("cap"), col("replacement"),
		col("risk limit"), col("low stock", "factor"), col("advised"), col("limited by")}}
	var notes noter
	var seen []model.Pair
	for _, t := range takes {
		if slices.Contains(seen, t.Pair) {
			continue
		}
		seen = append(seen, t.Pair)
		u := unitFor(a, t.Pair)
		advice := a.TryAdvice(u)
		all = append(all, advice)
		who := u.Bed + " " + u.Species
		y := advice.Year
		limits.Add(table.Text(u.Bed), table.Text(u.Species), kg(y.CapKg), kg(y.ReplacementKg), kg(y.RiskKg), table.Number(y.LowStock, 2),
			kg(y.AdvisedKg), table.Text(string(y.LimitedBy)))
		if advice.Reason != "" {
			notes.add(who, string(advice.Status)+": "+advice.Reason)
		}
		for _, other := range takes {
			if other.Pair != t.Pair {
				continue
			}
			x := a.TryKg
			if other.fraction {
				x = a.TryFraction
			}
			all = append(all, x(u, other.value))
			if advice.Status == model.NotAssessed {
				continue
			}
			notes.add(who, slices.DeleteFunc(slices.Clone(all[len(all)-1].Year.Warnings), inTable)...)
		}
		if advice.Status != model.NotAssessed {
			notes.add(who, c.lowToday(a, y))
			if s := u.YearSentence(model.Kg, model.KgDown); s != "" {
				notes.add(who, s)
			}
		}
	}
	r := a.Rules.Offtake
	people := table.Table{Title: fmt.Sprintf("What if, kg wet a year, on %s (seed %d, %d draws)", a.Folder.AsOf, a.Seed, a.Draws),
		Columns: []table.Column{col("bed"), col("species"), col("what"), col("cut", "kg"), col("of cuttable", "%"), col("stock", "kg"), col("next year", "kg"),
			col("interval", "kg"), col("risk", "%"), col("ever", "%"), col("yield", "kg a year"), col("above the limit by")}}
	for _, x := range all {
		y := x.Year
		people.Add(table.Text(x.Bed), table.Text(x.Species), table.Text(x.What), kg(y.AdvisedKg), table.Number(100*x.Share, 3), kg(x.StockKg), kg(y.NextMedian),
			table.Text(fromToKg(y.NextLo, y.NextHi)), riskCell(y.Risk), riskCell(y.RiskEver), kg(y.YieldPerYear), table.Text(c.beyond(x)))
	}
	limits.Notes = append(notes.lines(), riskNote(r), "later cuts take the same share of what each year's survey finds; shares are of the lower figure of the stock that the rules take")
	limits.Notes = append(limits.Notes, c.closing(a)...)
	return screen{report.Tried(all), []table.Table{people, limits}, fmt.Sprintf("bedstock quota %s --choices shows 0 to 60 %% beside each other", typed(c.Survey))}
}

// lowToday tells the chance of standing below the limit already, beside which the risk of the coming years is read.
func (c quotaCmd) lowToday(a *model.Assessment, y offtake.Advice) string {
	return fmt.Sprintf("the chance of standing below %g of a full bed today, before any cut: %s %%", a.Rules.Offtake.LimitOfK, riskCell(y.RiskNow).String())
}

// riskNote says what the columns risk and ever are.
func riskNote(r offtake.Rules) string {
	return fmt.Sprintf("risk: highest chance in any one of %d years of being below %g of a full bed (%g %% are allowed); ever: at least once in that time",
		r.Horizon, r.LimitOfK, 100*r.Risk)
}

// beyond says what a take is above, or why it may not be at all.
func (c quotaCmd) beyond(x model.Tried) string {
	switch {
	case x.Status == model.Closed || x.Status == model.Resting:
		return string(x.Status)
	case x.Year.AdvisedKg > x.StockKg:
		return "more than stands there"
	}
	return report.Above(x)
}

// inTable tells whether a warning says what the tables of the takes show.
func inTable(warning string) bool {
	return strings.Contains(warning, " kg are more than the limit by ") || strings.HasPrefix(warning, "the stock is low: the limits hold at ")
}

// closing are the notes under every table of amounts.
func (c quotaCmd) closing(a *model.Assessment) []string {
	var out []string
	if changed := a.Rules.ChangedSentence(); changed != "" {
		out = append(out, changed)
	}
	return append(out, "this is advice: the local authority, codes and licensed people decide")
}

// unitFor is the unit of a bed and species; where there is none, one that says why.
func unitFor(a *model.Assessment, p model.Pair) *model.Unit {
	if u := unitOf(a, p); u != nil {
		return u
	}
	reason := "no survey of the bed looked for it"
	if slices.Contains(a.Absent, p) {
		reason = "sought there and never found"
	}
	return &model.Unit{Pair: p, Status: model.NotAssessed, Reason: reason}
}

// fromToKg is an interval of weights.
func fromToKg(lo, hi float64) string {
	if lo != lo {
		return ""
	}
	return model.Kg(lo) + " to " + model.Kg(hi)
}
