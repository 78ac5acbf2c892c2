package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// reportCmd is the main job.
type reportCmd struct {
	Survey  string       `arg:"" optional:"" help:"The survey folder; without it this folder if it holds quadrats.csv, else the embedded demo."`
	Out     string       `short:"o" placeholder:"DIR" help:"The folder to write, whole or not at all (default bedstock-report; for the survey in this folder ../FOLDER-report, beside it)."`
	Public  bool         `help:"The edition for handing out: without permits and people, and without weights from which one permit holder's cut could be read."`
	Against string       `placeholder:"OUTDIR" help:"Also tell what changed since the report in this folder."`
	Figures report.Drawn `enum:"none,summary,all" default:"all" placeholder:"FIGURES" help:"Which figures: none, summary (those over all beds) or all (default ${default})."`
	source
	drawn
	Force  bool `help:"Keep a folder that is not ours or was changed under another name (DIR.kept-N) and write DIR anew."`
	Quiet  bool `short:"q" help:"No warnings and hints on stderr."`
	Strict bool `help:"Warnings count as errors (exit 3)."`
}

// Run makes the whole output folder.
func (c reportCmd) Run(e *env) error {
	dir, err := c.dir()
	if err != nil {
		return err
	}
	if c.Out == "" {
		if c.Out, err = defaultOut(dir); err != nil {
			return err
		}
	}
	opt := report.Options{Version: version, Figures: c.Figures}
	against := ""
	if c.Against != "" {
		if sameFolder(c.Against, c.Out) {
			return usageError("--against and -o name one folder: the earlier report would be lost; name another with -o")
		}
		if opt.Against, against, err = earlier(c.Against); err != nil {
			return err
		}
	}
	more := func(o *opened, cfg *model.Config) {
		cfg.Ask, cfg.Thrift = report.Ask, o.thrift(e, c.Out, c.Figures)
	}
	o, a, err := c.assessMore(e, c.source, dir, filter{}, shown{Quiet: c.Quiet, Strict: c.Strict}, more)
	if err != nil {
		return err
	}
	opt.Invented = o.invented
	shown := a
	if c.Public {
		shown, opt = report.Public(a, opt)
	}
	files, err := report.Files(shown, opt)
	if err != nil {
		return err
	}
	manifest, err := manifestOf(o, shown)
	if err != nil {
		return err
	}
	manifest.Public, manifest.Against = c.Public, against
	err = e.writing(func() error {
		return output.Write(c.Out, files, manifest, output.Options{Force: c.Force, SurveyDir: dir, Note: e.note, Stop: e.stop})
	})
	if err != nil {
		return err
	}
	c.say(e, o, shown, len(files))
	return nil
}

// dir is the survey folder to read; empty for the embedded demo.
func (c reportCmd) dir() (string, error) {
	if c.Survey != "" {
		return c.Survey, nil
	}
	switch _, err := os.Stat("quadrats.csv"); {
	case err == nil:
		return ".", nil
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	default:
		return "", err
	}
}

// defaultOut is bedstock-report here, but never inside the survey folder: for the survey in this folder it stands beside.
func defaultOut(dir string) (string, error) {
	if dir != "." {
		return "bedstock-report", nil
	}
	here, err := os.Getwd()
	if err != nil {
		return "", err
	}
	return filepath.Join("..", filepath.Base(here)+"-report"), nil
}

func manifestOf(o *opened, a *model.Assessment) (output.Manifest, error) {
	text, err := json.Marshal(map[string]any{"values": settingsByName(a.Rules), "draws": a.Draws})
	if err != nil {
		return output.Manifest{}, err
	}
	m := output.Manifest{Version: version, Command: "report", AsOf: a.Folder.AsOf.String(), Seed: a.Seed, Invented: o.invented,
		Rules: text, Warnings: a.AllWarnings(), Inputs: inputSums(a.Folder)}
	return m, nil
}

// settingsByName are the rules in force with their origin, as a manifest holds them.
func settingsByName(r model.Rules) map[string]model.Setting {
	out := map[string]model.Setting{}
	for _, s := range r.Settings {
		out[s.Name] = s
	}
	return out
}

// inputSums are the files of a survey folder with their sums.
func inputSums(f *survey.Folder) []output.FileSum {
	var out []output.FileSum
	for _, in := range f.Inputs {
		out = append(out, output.FileSum{Path: in.Path, SHA256: in.SHA256})
	}
	return out
}

// say prints what was decided and where it stands.
func (c reportCmd) say(e *env, o *opened, a *model.Assessment, files int) {
	t := table.Table{Columns: []table.Column{col("bed"), col("species"), col("advice")}}
	silent := 0
	for i := range a.Units {
		if u := &a.Units[i]; u.Status == model.NotAssessed {
			silent++
		} else {
			t.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(report.Shortly(u, model.Kg)))
		}
	}
	for _, use := range a.Uses() {
		if s := use.Sentence(model.Kg, model.KgDown); s != "" && !c.Public {
			t.Notes = append(t.Notes, s)
		}
	}
	if silent > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("not assessed: %d of %d; quota.csv and the report say why", silent, len(a.Units)))
	}
	t.Notes = append(t.Notes, fmt.Sprintf("%s: %d files from %s, as of %s, seed %d", c.Out, files+1, o.name, a.Folder.AsOf, a.Seed))
	if err := t.Text(e.stdout); err != nil {
		fmt.Fprintf(e.stderr, "bedstock: %v\n", err)
	}
	if !c.Quiet {
		fmt.Fprintf(e.stderr, "hint: open %s/report.html in a browser\n", c.Out)
	}
}
