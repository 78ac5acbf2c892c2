package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// fixList writes the problems as a list to work through, a line each, in the order of work. The file is whole or not
// there at all; one that exists is replaced by --force alone.
func (c checkCmd) fixList(e *env, all []alike) error {
	if err := c.listPlace(); err != nil {
		return err
	}
	t := table.Table{Columns: []table.Column{col("file"), col("line"), col("column"), col("cell"), col("severity"), col("bears_on"),
		col("what"), col("what_to_do"), col("done")}}
	for _, k := range all {
		for _, p := range k.list {
			line, severity := table.Missing, "error"
			if p.Line > 0 {
				line = table.Int(p.Line)
			}
			if p.Severity == survey.Doubt {
				severity = "warning"
			}
			t.Add(table.Text(p.File), line, table.Text(p.Name), table.Text(p.Cell), table.Text(severity), table.Text(touchWords[touches(p)]),
				table.Text(strings.TrimPrefix(p.Text, p.Name+": ")), table.Text(p.Hint), table.Text(""))
		}
	}
	var b bytes.Buffer
	if err := t.Write(&b, table.FormatCSV); err != nil {
		return err
	}
	if err := e.writing(func() error { return output.File(c.FixList, b.Bytes(), c.Force) }); err != nil {
		return err
	}
	e.note(fmt.Sprintf("%s lists them to work through; write x in done, run check again", c.FixList))
	return nil
}

// listPlace refuses a list in the survey folder: it would be read, or taken for one of its tables.
func (c checkCmd) listPlace() error {
	above, err := os.Stat(filepath.Dir(c.FixList))
	if err != nil {
		return fmt.Errorf("cannot write in %s: no such folder", filepath.Dir(c.FixList))
	}
	if in, err := os.Stat(c.Survey); err == nil && os.SameFile(above, in) {
		return usageError("--fix-list: " + c.FixList + " is inside the survey folder, where it would be taken for a table: name a file elsewhere")
	}
	return nil
}
