package main

import (
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/archive"
	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
	"bedstock/survey"
)

// exportCmd hands a survey on.
type exportCmd struct {
	Survey      string `arg:"" help:"The survey folder."`
	Output      string `short:"o" required:"" placeholder:"FILE.zip" help:"The file to write."`
	Datapackage bool   `help:"The survey folder's own tables with their descriptions (a Data Package) instead of a Darwin Core archive."`
	People      bool   `help:"Also who: observers, permits, decisions, cuts and remarks. Ask them first."`
	Coarse      bool   `help:"Positions rounded to a tenth of a degree, about 10 km, and no outlines."`
	On          string `placeholder:"DATE" help:"The day of the archive, YYYY-MM-DD; later rows must be taken out first (default: as_of in rules.toml, else the latest date in the folder)."`
	Rules       string `placeholder:"FILE" type:"existingfile" help:"A rules file with the table [dataset] instead of the folder's own rules.toml."`
	Force       bool   `help:"Replace a file that exists."`
	Quiet       bool   `short:"q" help:"No warnings and hints on stderr."`
	Strict      bool   `help:"Warnings count as errors (exit 3)."`
}

// Run writes the archive whole or not at all.
func (c exportCmd) Run(e *env) error {
	if !strings.HasSuffix(strings.ToLower(c.Output), ".zip") {
		return usageError(fmt.Sprintf("-o %s does not end in .zip\nhint: an archive is one zip file", c.Output))
	}
	o, err := source{On: c.On, Rules: c.Rules}.open(c.Survey)
	if err != nil {
		return err
	}
	if err := (shown{Strict: c.Strict}).strictly(o); err != nil {
		return err
	}
	if o.rules.Dataset == nil {
		return unnamed(c.rulesName())
	}
	zipped, counts, notes, err := c.pack(o)
	if err != nil {
		return err
	}
	if err := e.writing(func() error { return output.File(c.Output, zipped, c.Force) }); err != nil {
		return err
	}
	c.told(e, o, counts, notes)
	return nil
}

// pack makes the file.
func (c exportCmd) pack(o *opened) (zipped []byte, counts []archive.Count, notes []string, err error) {
	opt := archive.Options{People: c.People, Coarse: c.Coarse, Invented: o.invented, Scrub: report.LeaveOutNames(o.folder)}
	rules, err := c.rulesText()
	if err != nil {
		return nil, nil, nil, err
	}
	carried, notes, err := archive.Carry(o.folder, rules, !c.Datapackage, opt)
	if err != nil {
		return nil, nil, nil, err
	}
	if c.Datapackage {
		zipped, counts, err = archive.Package(*o.rules.Dataset, carried, opt)
		return zipped, counts, notes, err
	}
	a := archive.New(o.folder, o.rules, carried, opt)
	zipped, counts, err = a.Zip()
	return zipped, counts, append(a.Notes, notes...), err
}

// told says what was written, what was left out, and what to think of before it goes out.
func (c exportCmd) told(e *env, o *opened, counts []archive.Count, notes []string) {
	kind := "Darwin Core archive"
	if c.Datapackage {
		kind = "Data Package"
	}
	of := ""
	if o.invented {
		of = " (INVENTED DATA)"
	}
	fmt.Fprintf(e.stdout, "%s: %s of %s%s, licence %s\n", c.Output, kind, o.rules.Dataset.ID, of, o.rules.Dataset.Licence.Name)
	for _, n := range counts {
		fmt.Fprintf(e.stdout, "  %8d %s %s\n", n.Rows, word(n.Rows, "row"), n.File)
	}
	if c.Quiet {
		return
	}
	if n := len(o.folder.Doubts); n > 0 {
		e.note(fmt.Sprintf("%s in the folder; bedstock check %s lists them", plural(n, "warning"), typed(c.Survey)))
	}
	for _, n := range notes {
		e.note(n)
	}
	if c.People {
		e.note("it names people, what they took and what they were granted: hand it on only as far as they and the law allow")
	}
	if !c.Coarse && placed(o.folder) {
		fmt.Fprintln(e.stderr, "hint: it leads anybody to the beds; --coarse rounds their positions")
	}
}

// placed tells whether the position of any bed is known.
func placed(f *survey.Folder) bool {
	return len(f.Outlines) > 0 || len(f.StratumOutlines) > 0 || slices.ContainsFunc(f.Beds, func(b survey.Bed) bool {
		return slices.ContainsFunc(b.Periods, func(p survey.BedPeriod) bool { return p.Lat.OK })
	})
}

// rulesText is the rules file in force.
func (c exportCmd) rulesText() ([]byte, error) {
	if c.Rules != "" {
		return os.ReadFile(c.Rules)
	}
	fsys, done, err := folderFS(c.Survey)
	if err != nil {
		return nil, err
	}
	defer done()
	return fs.ReadFile(fsys, model.RulesFile)
}

// rulesName is the file that [dataset] belongs into.
func (c exportCmd) rulesName() string {
	if c.Rules != "" {
		return c.Rules
	}
	return model.RulesFile
}

// unnamed refuses a survey that does not say what it is called, who answers for it and what others may do with it.
func unnamed(rules string) error {
	return fmt.Errorf("%s has no [dataset]: nobody could tell what the archive is, whom to ask and what they may do with it; nothing was written\n"+
		"hint: put these lines at the end of %s and fill them in\n\n%s", rules, rules, model.DatasetLines)
}

func word(n int, w string) string {
	if n == 1 {
		return w + " "
	}
	return w + "s"
}
