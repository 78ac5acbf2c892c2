package main

import (
	"fmt"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// stockCmd shows the standing stock, and what can be made of it.
type stockCmd struct {
	Survey  string   `arg:"" help:"The survey folder."`
	By      []string `placeholder:"WHAT" help:"Sum over beds and species: one or more of bed, stratum, zone, shore, species, group, as in --by shore,species."`
	Change  bool     `help:"The change from each survey to the next, net of what was cut."`
	From    string   `placeholder:"SURVEY" help:"With --change and --to: from this survey, not from each to the next."`
	To      string   `placeholder:"SURVEY" help:"With --change and --from: to this survey."`
	Trend   bool     `help:"The trend over all surveys of a bed."`
	Detect  bool     `help:"The smallest change that the next survey would find."`
	More    []int    `placeholder:"N" help:"With --detect: the same with so many transects (or quadrats) more; may be given several times."`
	Lengths bool     `help:"How long the fronds are, and which share of the stock is long enough."`
	Explain []string `sep:"none" placeholder:"BED/SPECIES" help:"How the stock came about, step by step; BED/SPECIES/SURVEY for one survey; may be given several times."`
	source
	Seed uint64 `default:"1" help:"Seed of intervals by resampling, interval = bootstrap in rules.toml (default ${default})."`
	filter
	shown
}

// view is one way to show stocks: the table for other programs, and the one people read with what follows it.
type view struct {
	machine table.Table
	people  table.Table
	text    string // in place of people
	empty   string // why there is no row, and what to do
	hint    string
}

// Run estimates and prints the stocks.
func (c stockCmd) Run(e *env) error {
	if err := c.sensible(); err != nil {
		return err
	}
	o, err := c.open(c.Survey)
	if err != nil {
		return err
	}
	if err := c.strictly(o); err != nil {
		return err
	}
	if err := c.check(o.folder); err != nil {
		return err
	}
	o.rules.Survey.Seed = c.Seed
	v, err := c.view(o)
	if err != nil {
		return err
	}
	c.doubts(e, o)
	return c.print(e, v)
}

// view makes what was asked for.
func (c stockCmd) view(o *opened) (view, error) {
	switch {
	case len(c.By) > 0:
		return c.totals(o)
	case len(c.Explain) > 0:
		return c.explain(o)
	case c.Lengths:
		return c.lengths(o), nil
	}
	stocks := survey.Stocks(o.folder, o.rules.Survey)
	switch {
	case c.Change:
		return c.changes(stocks, o)
	case c.Trend:
		return c.trends(stocks, o), nil
	case c.Detect:
		return c.detectable(stocks, o), nil
	}
	return view{machine: c.narrow(report.StockMore(stocks)), people: c.text(stocks, o), empty: c.unsought(),
		hint: "bedstock growth %[1]s shows how fast it comes back, --change, --trend, --lengths and --by more of the stock, --format csv all columns"}, nil
}

// print writes a view in the format asked for.
func (c stockCmd) print(e *env, v view) error {
	if len(v.machine.Rows) == 0 && v.empty != "" {
		e.note("nothing to show: " + v.empty)
	}
	if c.Format != table.FormatText {
		return v.machine.Write(e.stdout, c.Format)
	}
	if v.text != "" {
		if _, err := fmt.Fprint(e.stdout, v.text); err != nil {
			return err
		}
	} else if len(v.machine.Rows) > 0 {
		if err := v.people.Text(e.stdout); err != nil {
			return err
		}
	}
	if v.hint != "" && len(v.machine.Rows) > 0 {
		c.hint(e, "%s", strings.ReplaceAll(v.hint, "%[1]s", typed(c.Survey)))
	}
	return nil
}

// unsought is why no stock passes the filter.
func (c stockCmd) unsought() string {
	return "no survey of the bed looked for the species; name it in species_sought of surveys.csv next time, and write 0 where it is not found"
}

// sensible refuses combinations that say nothing.
func (c stockCmd) sensible() error {
	var ways []string
	for _, w := range []struct {
		name  string
		given bool
	}{{"--by", len(c.By) > 0}, {"--change", c.Change}, {"--trend", c.Trend}, {"--detect", c.Detect}, {"--lengths", c.Lengths},
		{"--explain", len(c.Explain) > 0}} {
		if w.given {
			ways = append(ways, w.name)
		}
	}
	switch {
	case len(ways) > 1:
		return usageError(strings.Join(ways, " and ") + " show different tables\nhint: give one of them at a time")
	case len(c.Explain) > 0 && len(c.Bed)+len(c.Species) > 0:
		return usageError("--explain names its bed and species itself: leave --bed and --species out\nhint: --explain BED/SPECIES may be given several times")
	case (c.From != "" || c.To != "") && !(c.Change && c.From != "" && c.To != ""):
		return usageError("--from and --to go together, and with --change\nhint: --change --from 2022 --to 2026 compares these two surveys of each bed")
	case len(c.More) > 0 && !c.Detect:
		return usageError("--more goes with --detect\nhint: --detect --more 5 tells what five transects more would find")
	}
	for _, m := range c.More {
		if m < 0 {
			return usageError(fmt.Sprintf("--more %d is below 0", m))
		}
	}
	return nil
}
