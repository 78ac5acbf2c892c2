package report

import (
	"bytes"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// Options of the report.
type Options struct {
	Invented bool   // made from the demo: everything says so
	Version  string // of the tool
}

// Files makes every file of the output folder but the manifest, by slash path.
func Files(a *model.Assessment, opt Options) (map[string][]byte, error) {
	files, err := Tables(a, opt)
	if err != nil {
		return nil, err
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

// Tables makes the tables of the output folder and datapackage.json, which describes them.
func Tables(a *model.Assessment, opt Options) (map[string][]byte, error) {
	files := map[string][]byte{}
	var layouts []tableLayout
	for _, t := range outputTables(a) {
		var b bytes.Buffer
		if err := t.rows.CSV(&b); err != nil {
			return nil, err
		}
		files[t.name+".csv"] = b.Bytes()
		layouts = append(layouts, t.tableLayout)
	}
	var err error
	files[packageFile], err = dataPackage(a, opt, layouts, files)
	return files, err
}

// outputTable is a table of the output folder.
type outputTable struct {
	tableLayout
	rows table.Table
}

// outputTables are the tables of the output folder, in the order in which datapackage.json names them.
func outputTables(a *model.Assessment) []outputTable {
	out := []outputTable{{stockLayout, Stock(a.Stocks)}, {growthLayout, Growth(a)}, {plotsLayout, Plots(a)}, {quotaLayout, Quota(a)},
		{pressureLayout, Pressure(a)}}
	if len(a.Rotations) > 0 {
		out = append(out, outputTable{rotationLayout, Rotation(a)})
	}
	return out
}
