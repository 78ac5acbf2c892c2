package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
	"bedstock/plots"
)

// figureCmd draws one figure alone.
type figureCmd struct {
	Name   string `arg:"" help:"What to draw: ${figures}."`
	Survey string `arg:"" help:"The survey folder."`
	Out    string `short:"o" required:"" placeholder:"FILE" help:"The file to write; its ending says how: .svg or .png."`
	Bed    string `placeholder:"BED" help:"The bed, for a figure of one bed."`
	Plot   string `placeholder:"PLOT" help:"The regrowth plot, for the regrowth figure."`
	Sp     string `name:"species" placeholder:"SPECIES" help:"The species, for a figure of one bed; not needed where the bed has one only."`
	Width  string `default:"15.5cm" placeholder:"WIDTH" help:"Width as 15.5cm or 160mm; the height and the letters follow (default ${default})."`
	DPI    int    `name:"dpi" default:"200" help:"Dots per inch of a png (default ${default})."`
	Force  bool   `help:"Replace a file that is there already."`
	source
	drawn
	Quiet  bool `short:"q" help:"No warnings and hints on stderr."`
	Strict bool `help:"Warnings count as errors (exit 3)."`
}

// Run draws the figure, writes it, and prints its caption.
func (c figureCmd) Run(e *env) error {
	width, err := c.check()
	if err != nil {
		return err
	}
	o, a, err := c.assess(e, c.source, c.Survey, c.filter(), shown{Quiet: c.Quiet, Strict: c.Strict})
	if err != nil {
		return err
	}
	fig, err := c.figure(a, report.Options{Invented: o.invented, Version: version})
	var usage usageError
	if errors.As(err, &usage) {
		return err
	}
	if err != nil {
		return fmt.Errorf("%s: %w", o.name, err)
	}
	data, err := c.encode(fig, width)
	if err != nil {
		return err
	}
	if err := e.writing(func() error { return output.File(c.Out, data, c.Force) }); err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%s: %s\n%s\n", c.Out, fig.Title, fig.Caption)
	for _, w := range fig.Warnings {
		e.note(w)
	}
	return nil
}

// figure draws what was asked for.
func (c figureCmd) figure(a *model.Assessment, opt report.Options) (plots.Figure, error) {
	if c.Name == report.KindRegrowth {
		return report.OnePlot(a, c.Plot, c.Sp, opt)
	}
	bed, species, err := c.stand(a)
	if err != nil {
		return plots.Figure{}, err
	}
	return report.One(a, c.Name, bed, species, opt)
}

// check looks at what needs no survey: name, file and size.
func (c figureCmd) check() (vg.Length, error) {
	if !slices.Contains(report.Kinds(), c.Name) {
		return 0, usageError(fmt.Sprintf("no figure %q; there are %s", c.Name, strings.Join(report.Kinds(), ", ")))
	}
	if end := strings.ToLower(filepath.Ext(c.Out)); end != ".svg" && end != ".png" {
		return 0, usageError(fmt.Sprintf("-o %s: the name must end in .svg or .png", c.Out))
	}
	width, err := vg.ParseLength(c.Width)
	if err != nil || width < 4*vg.Centimeter || width > 100*vg.Centimeter {
		return 0, usageError(fmt.Sprintf("--width %s: not a width from 4cm to 100cm, such as 15.5cm", c.Width))
	}
	if c.DPI < 30 || c.DPI > 1200 {
		return 0, usageError(fmt.Sprintf("--dpi %d is not between 30 and 1200", c.DPI))
	}
	if c.Name == report.KindRegrowth {
		if c.Plot == "" || c.Bed != "" {
			return 0, usageError("the regrowth figure shows one regrowth plot: name it with --plot\nhint: bedstock growth " + typed(c.Survey) + " --plots lists them")
		}
		return width, nil
	}
	if c.Plot != "" {
		return 0, usageError("--plot goes with the regrowth figure")
	}
	if !report.OverAll(c.Name) && c.Bed == "" {
		return 0, usageError(fmt.Sprintf("the %s figure shows one bed: name it with --bed", c.Name))
	}
	if report.OverAll(c.Name) && c.Bed+c.Sp != "" {
		return 0, usageError(fmt.Sprintf("the %s figure shows all beds and species: leave out --bed and --species", c.Name))
	}
	return width, nil
}

func (c figureCmd) filter() (f filter) {
	if c.Bed != "" {
		f.Bed = []string{c.Bed}
	}
	if c.Sp != "" {
		f.Species = []string{c.Sp}
	}
	return f
}

// stand is the bed and species that a figure of one bed shows; blank for the others.
func (c figureCmd) stand(a *model.Assessment) (bed, species string, err error) {
	if report.OverAll(c.Name) {
		return "", "", nil
	}
	var there []string
	for i := range a.Units {
		bed = a.Units[i].Bed
		there = append(there, a.Units[i].Species)
	}
	switch len(there) {
	case 0:
		return "", "", fmt.Errorf("%s was never found on bed %s", cmp.Or(c.Sp, "any species"), c.Bed)
	case 1:
		return bed, there[0], nil
	}
	return "", "", usageError(fmt.Sprintf("bed %s has %d species: name one with --species: %s", bed, len(there), strings.Join(there, ", ")))
}

// encode writes the figure as its file's ending says, scaled to a width.
func (c figureCmd) encode(f plots.Figure, width vg.Length) ([]byte, error) {
	if strings.EqualFold(filepath.Ext(c.Out), ".png") {
		return f.PNG(max(1, int(float64(c.DPI)*width.Points()/f.Width.Points()+0.5)))
	}
	return f.SVGFile(width)
}
