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
	files := map[string][]byte{}
	tables := map[string]table.Table{"stock.csv": Stock(a.Stocks), "growth.csv": Growth(a), "plots.csv": Plots(a), "quota.csv": Quota(a), "pressure.csv": Pressure(a)}
	if len(a.Rotations) > 0 {
		tables["rotation.csv"] = Rotation(a)
	}
	for name, t := range tables {
		var b bytes.Buffer
		if err := t.CSV(&b); err != nil {
			return nil, err
		}
		files[name] = b.Bytes()
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
