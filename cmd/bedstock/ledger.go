package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// ledgerCmd shows how the season's cut stands to what was advised and decided.
type ledgerCmd struct {
	Survey string   `arg:"" help:"The survey folder."`
	On     string   `placeholder:"DATE" help:"The day of the ledger, YYYY-MM-DD (default: today)."`
	Rules  string   `placeholder:"FILE" type:"existingfile" help:"A rules file instead of the folder's own rules.toml."`
	Seed   uint64   `default:"1" help:"Seed of the random numbers (default ${default})."`
	Draws  int      `default:"4000" help:"Number of draws (default ${default})."`
	Permit []string `sep:"none" placeholder:"PERMIT" help:"Only this permit; may be given several times."`
	All    bool     `help:"The seasons of earlier years too, not only the last twelve months, and the permits of coming ones."`
	filter
	shown
}

// Run works out and prints the ledger.
func (c ledgerCmd) Run(e *env) error {
	s := source{On: c.On, Rules: c.Rules, Seed: c.Seed, Draws: c.Draws, leaveLater: c.On != ""}
	if s.On == "" {
		s.On = time.Now().Format(time.DateOnly)
	}
	_, a, err := s.assess(e, c.Survey, c.filter, c.shown)
	if err != nil {
		return err
	}
	l := a.Ledger(model.LedgerOptions{AdviceSince: a.Folder.AsOf - 366})
	if c.Format != table.FormatText {
		c.All = true
	}
	l.Rows = slices.DeleteFunc(l.Rows, func(r model.LedgerRow) bool { return !c.shows(a, r) })
	l.Strays = slices.DeleteFunc(l.Strays, func(s model.Stray) bool { return !among(c.Permit, s.Permit) })
	if c.Format != table.FormatText {
		return report.Ledger(l).Write(e.stdout, c.Format)
	}
	if err := c.text(a, l).Text(e.stdout); err != nil {
		return err
	}
	c.hint(e, "bedstock quota %s shows what the advice rests on; --all the seasons of earlier years", c.Survey)
	return nil
}

// shows tells whether a row is asked for.
func (c ledgerCmd) shows(a *model.Assessment, r model.LedgerRow) bool {
	if !c.keep(r.Bed, r.Species) || len(c.Permit) > 0 && (r.Permit == "" || !among(c.Permit, r.Permit)) {
		return false
	}
	if r.State == model.SeasonComing && r.Permit != "" && len(c.Permit) == 0 && !c.All {
		return false // as yet the advice of all together tells enough
	}
	return c.All || r.State != model.SeasonOver || r.To >= a.Folder.AsOf-366
}

func (c ledgerCmd) text(a *model.Assessment, l model.Ledger) table.Table {
	t := table.Table{Title: fmt.Sprintf("Ledger on %s, kg wet", a.Folder.AsOf), Columns: []table.Column{col("bed"), col("species"), col("season"),
		col("permit"), col("advised", "kg"), col("decided", "kg"), col("cut", "kg"), col("left", "kg"), col("returns"), col("last"),
		col("end of season", "kg, at this pace"), col("note")}}
	for _, r := range l.Rows {
		t.Add(ledgerCells(r)...)
	}
	for _, s := range l.Strays {
		who := ""
		if s.Permit != "" {
			who = " by " + s.Permit
		}
		t.Notes = append(t.Notes, fmt.Sprintf("harvest.csv:%d: %s kg of %s on %s on %s%s: %s", s.Line, model.Kg(s.Kg), s.Pair.Species, s.Pair.Bed, s.Day, who, s.Why))
	}
	if len(c.Permit) == 0 {
		t.Notes = append(t.Notes, c.sums(l)...)
	}
	if share := a.Rules.ReportedShare; share != 1 {
		t.Notes = append(t.Notes, fmt.Sprintf("cut: what the returns say over the reported share of %g", share))
	}
	t.Notes = append(t.Notes, "not issued: nothing was decided, the advice stands; the local authority, codes and licensed people decide")
	return t
}

func ledgerCells(r model.LedgerRow) []table.Cell {
	season := fmt.Sprintf("%s %d", r.Season, r.From.Year())
	permit, decided := "all", table.Text("not issued")
	if r.Permit != "" {
		permit = r.Permit
	}
	if r.Issued() {
		decided = kg(r.DecidedKg)
	}
	last := "-"
	if r.LastReturn != survey.NoDay {
		last = r.LastReturn.String()
	}
	end := table.Text("-")
	if r.Projected.Median >= 0 {
		end = table.Text(report.Interval(r.Projected.Median, r.Projected.Lo, r.Projected.Hi))
	}
	notes := r.Notes
	if r.PaceNote != "" && r.Permit == "" {
		notes = append(slices.Clone(notes), r.PaceNote)
	}
	returns := fmt.Sprint(r.Returns)
	if r.Nil > 0 {
		returns = fmt.Sprintf("%d, %d nil", r.Returns, r.Nil)
	}
	return []table.Cell{table.Text(r.Bed), table.Text(r.Species), table.Text(season), table.Text(permit), kg(r.AdvisedKg), decided, kg(r.CutKg), kg(r.LeftKg),
		table.Text(returns), table.Text(last), end, short(strings.Join(notes, "; "))}
}

// sums are the totals of the running seasons, and of all rows.
func (c ledgerCmd) sums(l model.Ledger) []string {
	var cut, left, limit float64
	over, running := 0, 0
	for _, r := range l.Rows {
		if r.Permit != "" || r.State != model.SeasonRunning {
			continue
		}
		running++
		add := func(to *float64, v float64) {
			if v > 0 {
				*to += v
			}
		}
		add(&cut, r.CutKg)
		add(&left, r.LeftKg)
		add(&limit, r.LimitKg())
		if r.Over() {
			over++
		}
	}
	if running == 0 {
		return []string{"no season is running"}
	}
	return []string{fmt.Sprintf("running seasons: %s of %s kg is cut on %s; %s kg is left; %s over",
		model.Kg(cut), model.Kg(limit), plural(running, "stand"), model.Kg(left), plural(over, "stand"))}
}
