package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"
)

// workbook FOLDER FILE.xlsx [TABLE...] puts the tables of a survey folder (all, or those named) into one workbook, in the
// place of their files: as somebody does who types into a spreadsheet program, with numbers and dates as such.
func workbook(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: workbook FOLDER FILE.xlsx [TABLE...]")
	}
	dir := ts.MkAbs(args[0])
	stems := args[2:]
	if len(stems) == 0 {
		names, err := filepath.Glob(filepath.Join(dir, "*.csv"))
		ts.Check(err)
		for _, name := range names {
			stems = append(stems, strings.TrimSuffix(filepath.Base(name), ".csv"))
		}
	}
	f := excelize.NewFile()
	defer f.Close()
	code := "d mmm yyyy"
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	ts.Check(err)
	for _, stem := range stems {
		name := filepath.Join(dir, stem+".csv")
		rows, err := csv.NewReader(strings.NewReader(ts.ReadFile(name))).ReadAll()
		ts.Check(err)
		_, err = f.NewSheet(stem)
		ts.Check(err)
		w, err := f.NewStreamWriter(stem)
		ts.Check(err)
		for i, row := range rows {
			cells := make([]any, len(row))
			for k, s := range row {
				cells[k] = asCell(s, style)
			}
			ts.Check(w.SetRow("A"+strconv.Itoa(i+1), cells))
		}
		ts.Check(w.Flush())
		ts.Check(os.Remove(name))
	}
	ts.Check(f.SaveAs(filepath.Join(dir, args[1])))
}

// asCell is what a spreadsheet program makes of a text that is typed.
func asCell(s string, dates int) any {
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return v
	}
	if d, err := time.Parse(time.DateOnly, s); err == nil {
		return excelize.Cell{StyleID: dates, Value: int(d.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)}
	}
	if s == "" {
		return nil
	}
	return s
}
