package report

import (
	"sync"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// Options of the report.
type Options struct {
	Invented bool   // made from the demo: everything says so
	Version  string // of the tool
	Figures  Drawn  // which figures are drawn; empty: all

	Against *Earlier // a report to compare with; nil: none
	changes []change // since Against

	public *publicEdition // nil: everything is told

	ledger func() model.Ledger // worked out once for the table and the page; nil: not made by Files
}

// ledgerOf is the season's ledger, which is not to be changed.
func (opt Options) ledgerOf(a *model.Assessment) model.Ledger {
	if opt.ledger == nil {
		return a.Ledger(model.LedgerOptions{})
	}
	return opt.ledger()
}

// Files makes every file of the output folder but the manifest, by slash path.
func Files(a *model.Assessment, opt Options) (map[string][]byte, error) {
	if a.Thrift != nil {
		a.EvidenceTable() // sampling takes much memory: while there is no ledger and no table yet
	}
	opt.ledger = sync.OnceValue(func() model.Ledger { return a.Ledger(model.LedgerOptions{}) })
	if opt.public == nil {
		go opt.ledger() // beside what is worked out for the tables before it
	}
	files, changes, err := tablesOf(a, opt)
	if err != nil {
		return nil, err
	}
	opt.changes = changes
	if opt.public == nil {
		shown := LedgerShown(opt.ledger()) // the page needs no more of it
		opt.ledger = func() model.Ledger { return shown }
	}
	figs, err := Figures(a, opt)
	if err != nil {
		return nil, err
	}
	for _, f := range figs {
		files["figures/"+f.Name+".svg"] = f.SVG
	}
	files["report.html"], err = HTML(a, figs, opt)
	return files, err
}

// tablesOf makes the tables of the output folder and datapackage.json, which describes them; and what changed since the
// report that it is compared with.
func tablesOf(a *model.Assessment, opt Options) (files map[string][]byte, changes []change, err error) {
	files = map[string][]byte{}
	var layouts []tableLayout
	add := func(tables ...outputTable) {
		for i, text := range texts(a, tables) {
			files[tables[i].name+".csv"] = text
			layouts = append(layouts, tables[i].tableLayout)
		}
	}
	tables := outputTables(a)
	if opt.public == nil {
		tables = append(tables, outputTable{ledgerLayout, func() []byte { return ledgerCSV(opt.ledgerOf(a)) }})
	}
	add(tables...)
	if opt.Against != nil {
		if changes, err = changesSince(opt.Against, a, opt, files); err != nil {
			return nil, nil, err
		}
		add(outputTable{changesLayout, changesTable(changes).CSVBytes})
	}
	files[packageFile], err = dataPackage(a, opt, layouts, files)
	return files, changes, err
}

// texts are the texts of tables: made on all cores, or one after the other where memory counts for more.
func texts(a *model.Assessment, tables []outputTable) [][]byte {
	out := make([][]byte, len(tables))
	a.Thrift.Each(len(tables), func(i int) { out[i] = a.Thrift.Keep(tables[i].text()) })
	return out
}

// outputTable is a table of the output folder, made when it is asked for: of a long shore one alone takes much memory.
type outputTable struct {
	tableLayout
	text func() []byte
}

// outputTables are the tables of the output folder, in the order in which datapackage.json names them.
func outputTables(a *model.Assessment) []outputTable {
	of := func(l tableLayout, rows func(*model.Assessment) table.Table) outputTable {
		return outputTable{l, func() []byte { return rows(a).CSVBytes() }}
	}
	stocks := func(a *model.Assessment) table.Table { return Stock(a.Stocks) }
	out := []outputTable{of(stockLayout, stocks), of(growthLayout, Growth), of(plotsLayout, Plots), of(quotaLayout, Quota), of(pressureLayout, Pressure)}
	if len(a.Rotations) > 0 {
		out = append(out, of(rotationLayout, Rotation))
	}
	return out
}
