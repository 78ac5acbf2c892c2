package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bedstock": main})
}

// Each script reads like a manual: what is done, what is printed, what stands in the folder afterwards.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"keep": keep, "workbook": workbook}})
}

// keep FOLDER SPECIES... leaves the rows of these species, and those that name none, in every table of a survey folder: a
// script that does not need the others is done sooner.
func keep(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: keep FOLDER SPECIES...")
	}
	names, err := filepath.Glob(filepath.Join(ts.MkAbs(args[0]), "*.csv"))
	ts.Check(err)
	for _, name := range names {
		rows, err := csv.NewReader(strings.NewReader(ts.ReadFile(name))).ReadAll()
		ts.Check(err)
		at := slices.Index(rows[0], "species")
		rest := slices.DeleteFunc(rows[1:], func(row []string) bool {
			return at >= 0 && row[at] != "" && !slices.Contains(args[1:], row[at])
		})
		var b bytes.Buffer
		ts.Check(csv.NewWriter(&b).WriteAll(append(rows[:1:1], rest...)))
		ts.Check(os.WriteFile(name, b.Bytes(), 0o644))
	}
}
