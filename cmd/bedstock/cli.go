package main

import (
	"fmt"

	"github.com/alecthomas/kong"

	"bedstock/cmd/bedstock/internal/table"
)

const about = `How much seaweed may be cut from each bed of a shore without running it down: a folder of survey tables in, ` +
	`standing stock, regrowth, sustainable offtake, figures and a report out.`

// cli is the command line: one field a command, each in a file of its own.
type cli struct {
	Report reportCmd `cmd:"" help:"The main job: all tables, figures and report.html, in one folder."`
	Check  checkCmd  `cmd:"" help:"Every mistake and warning in a survey folder, with file, line and column."`
	Stock  stockCmd  `cmd:"" help:"Standing stock and cover per bed, species and survey."`
	Growth growthCmd `cmd:"" help:"How fast it comes back: regrowth plots, r and K per bed and species, diagnostics."`
	Quota  quotaCmd  `cmd:"" help:"The advised offtake per bed, species and season, and what limits it."`
	Plan   planCmd   `cmd:"" help:"The next survey: transects, quadrats and weighings for a precision or a budget, where they lie and, with tides.csv, on which days."`
	Rules  rulesCmd  `cmd:"" help:"The effective rules and species parameters and where each comes from."`
	Demo   demoCmd   `cmd:"" help:"Write the invented demo survey into a new folder."`
	Ledger ledgerCmd `cmd:"" help:"The season's cut against what was advised and decided, by bed, species and permit."`
	Figure figureCmd `cmd:"" help:"One figure alone, as svg or png."`
	Verify verifyCmd `cmd:"" help:"Are these results as they were written, and from these inputs?"`

	Export exportCmd `cmd:"" help:"The survey as a Darwin Core archive, or as a Data Package, to hand on."`
	Import importCmd `cmd:"" help:"A survey folder from a Darwin Core archive or a Data Package, as far as it tells of beds and quadrats."`

	Version kong.VersionFlag `help:"Print the version and exit."`
}

// source is where the survey comes from and what is laid over its rules.
type source struct {
	On    string `placeholder:"DATE" help:"The day of the advice, YYYY-MM-DD (default: as_of in rules.toml, else the latest date in the folder)."`
	Rules string `placeholder:"FILE" type:"existingfile" help:"A rules file instead of the folder's own rules.toml."`
	laid  []laid

	mostAlike  int  // problems of one kind that are listed, 0: as usual
	leaveLater bool // rows dated after On are left out instead of being mistakes
	tides      bool // tides.csv is read
	clock      bool // On is the clock's today, which nobody gave
	eachLate   bool // every row dated after On is told
}

// seeded is for commands that use random numbers.
type seeded struct {
	Seed uint64 `default:"1" help:"Seed of the random numbers (default ${default})."`
}

// drawn is for commands that assess the survey: growth and offtake are worked out by draws.
type drawn struct {
	seeded
	Draws int `default:"4000" help:"Number of draws (default ${default})."`
}

// Validate refuses a number of draws that tells nothing or takes for ever; the command line is checked by it.
func (d drawn) Validate() error {
	if d.Draws < 400 || d.Draws > 1_000_000 {
		return usageError(fmt.Sprintf("--draws %d is not between 400 and 1000000", d.Draws))
	}
	return nil
}

// laid is a rule that an option sets for this run.
type laid struct {
	rule, option string
	value        any
}

// filter narrows what is shown.
type filter struct {
	Bed     []string `sep:"none" placeholder:"BED" help:"Only this bed; may be given several times."`
	Species []string `sep:"none" placeholder:"SPECIES" help:"Only this species; may be given several times."`
}

// shown is how a result is printed.
type shown struct {
	Format table.Format `default:"text" placeholder:"FORMAT" help:"text, csv or json (default text)."`
	Quiet  bool         `short:"q" help:"No warnings and hints on stderr."`
	Strict bool         `help:"Warnings count as errors (exit 3)."`
}

// keep tells whether a bed and species pass the filter.
func (f filter) keep(bed, species string) bool {
	return among(f.Bed, bed) && among(f.Species, species)
}
