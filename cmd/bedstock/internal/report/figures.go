package report

import (
	"fmt"
	"runtime"
	"strings"
	"sync"

	"bedstock/model"
	"bedstock/plots"
)

// Kinds of figures.
const (
	KindPressure = "pressure" // all beds
	KindRecovery = "recovery" // one species on one bed
	KindHistory  = "history"  // one species on one bed
)

// Figure is one figure of the report.
type Figure struct {
	Name         string // "NN-slug", the file name without folder and ending
	Kind         string
	Bed, Species string // empty: all
	plots.Figure
	SVG []byte
}

// mostUnits is the number of stands from which on only those that need action have figures of their own.
const mostUnits = 60

// Figures draws the figures of the report: the pressure over all beds, then for each stand with an advice its recovery
// curve, and for each with a stock its history. The order is that of the beds and species, and the figures are the same
// on any number of cores. With more than 60 stands to draw, only those that need action are drawn.
func Figures(a *model.Assessment, opt Options) ([]Figure, error) {
	out := []Figure{{Kind: KindPressure, Figure: plots.Pressure(pressureInput(a, opt))}}
	for _, i := range drawn(a) {
		u := &a.Units[i]
		if u.Basis != nil {
			out = append(out, Figure{Kind: KindRecovery, Bed: u.Bed, Species: u.Species})
		}
		out = append(out, Figure{Kind: KindHistory, Bed: u.Bed, Species: u.Species})
	}
	for i := range out {
		out[i].Name = fmt.Sprintf("%02d-%s", i+1, slug(out[i].Kind, out[i].Bed, out[i].Species))
	}
	errs := make([]error, len(out))
	each(len(out), func(i int) { errs[i] = out[i].render(a, opt) })
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("figure %s: %w", out[i].Name, err)
		}
	}
	return out, nil
}

// render draws the figure.
func (f *Figure) render(a *model.Assessment, opt Options) (err error) {
	switch f.Kind {
	case KindRecovery:
		f.Figure = plots.Recovery(recoveryInput(a, unitOf(a, f.Bed, f.Species), opt))
	case KindHistory:
		f.Figure = plots.History(historyInput(a, unitOf(a, f.Bed, f.Species), opt))
	}
	f.ID = f.Name
	f.SVG, err = f.Figure.SVG()
	return err
}

// drawn lists the stands that get figures of their own, by index.
func drawn(a *model.Assessment) []int {
	var all, pressing []int
	for i := range a.Units {
		u := &a.Units[i]
		if u.Basis == nil && lastKnown(u) == nil {
			continue
		}
		all = append(all, i)
		if s := stateOf(a, u); s == stateAbove || s == stateLow {
			pressing = append(pressing, i)
		}
	}
	if len(all) > mostUnits {
		return pressing
	}
	return all
}

func unitOf(a *model.Assessment, bed, species string) *model.Unit {
	for i := range a.Units {
		if u := &a.Units[i]; u.Bed == bed && u.Species == species {
			return u
		}
	}
	panic(fmt.Sprintf("report: no %s on %s", species, bed))
}

// each calls do for 0 to n-1 on all cores. A panic in one of them is raised again here.
func each(n int, do func(int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	var once sync.Once
	var crash any
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := range next {
				func() {
					defer func() {
						if p := recover(); p != nil {
							once.Do(func() { crash = p })
						}
					}()
					do(i)
				}()
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	if crash != nil {
		panic(crash)
	}
}

// slug makes a file name of words: lower-case ASCII letters and digits, everything else one hyphen, 60 bytes at most.
func slug(words ...string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.Join(words, "-")) {
		switch {
		case 'a' <= r && r <= 'z', '0' <= r && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	s := b.String()
	return strings.Trim(s[:min(len(s), 60)], "-")
}
