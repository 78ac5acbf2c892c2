// Command coast writes the survey folder of an invented coast of any number of beds, to measure speed on.
//
//	go run ./.ci/bench/coast -beds 120 -o FOLDER
//
// Every bed has two strata with five transects of four quadrats each, surveyed in six years; five species were looked for
// in each quadrat, and each has its row, with a cover of 0 where it was not found: 1200 rows a bed. In every fourth
// quadrat what stood there was weighed. Three of the species are cut by permit, a storm came over every sixth bed, and
// there are five regrowth plots for every twelve beds. The stock of a bed and species follows the logistic map with
// dated cuts and lognormal noise, as that of the demo does, so that growth and offtake have something to find.
//
// The same number of beds gives the same bytes, and the beds of a small coast are the first of a larger one.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	n := flag.Int("beds", 12, "number of beds")
	flag.IntVar(&most, "species", len(kinds), "number of species")
	dir := flag.String("o", "", "the folder to write; it must not exist")
	flag.Parse()
	if most = min(most, len(kinds)); most < 1 || *n < 1 || *n > 99999 || *dir == "" || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := writeFolder(*dir, *n); err != nil {
		fmt.Fprintln(os.Stderr, "coast:", err)
		os.Exit(1)
	}
}

// most is the number of species, the first of kinds.
var most = len(kinds)

// tables are the files of the folder with their headers.
var tables = map[string]string{
	"beds.csv":      "bed,name,shore,zone,area_m2,lat,lon",
	"strata.csv":    "bed,stratum,area_m2",
	"surveys.csv":   "bed,survey,from,to,species_sought",
	"quadrats.csv":  "bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g",
	"harvest.csv":   "bed,date,species,wet_kg,origin,permit",
	"regrowth.csv":  "plot,species,bed,date,event,biomass_g,plot_m2",
	"events.csv":    "bed,date,kind,fraction_left,notes",
	"decisions.csv": "bed,species,season,from,to,permit,kg,decided_by,decided_on",
	"permits.csv":   "permit,bed,species,share",
}

const rules = `# INVENTED DATA: a coast made to measure speed on
as_of = 2026-09-20

[[season]]
name = "spring"
from = "03-15"
to   = "06-30"
share = 0.7

[[season]]
name = "autumn"
from = "08-15"
to   = "10-15"
share = 0.3
`

// writeFolder writes a coast of n beds, bed by bed, so that no size needs much memory.
func writeFolder(dir string, n int) (err error) {
	if err := os.Mkdir(dir, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "rules.toml"), []byte(rules), 0o644); err != nil {
		return err
	}
	out := map[string]*bufio.Writer{}
	for name, header := range tables {
		f, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		defer f.Close()
		out[name] = bufio.NewWriterSize(f, 1<<16)
		fmt.Fprintln(out[name], header)
	}
	for i := range n {
		newBed(i).write(func(name string) *bufio.Writer { return out[name] })
	}
	for _, w := range out {
		if e := w.Flush(); e != nil && err == nil { // it keeps the first error of its writes
			err = e
		}
	}
	return err
}
