package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"sync"

	"github.com/alecthomas/kong"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/survey"
)

// version is what --version prints and every manifest carries.
const version = "0.1.0"

// The exit codes.
const (
	exitDone    = 0
	exitFailed  = 1 // could not: a file, a folder, a lock
	exitUsage   = 2
	exitRefused = 3 // the data are refused
	exitBug     = 4
	exitBreak   = 130 // Ctrl-C
)

// env is where a run reads and writes.
type env struct {
	stdin          io.Reader
	stdout, stderr io.Writer

	stop     <-chan struct{} // closed by Ctrl-C
	wrote    bool            // something stands on the disk
	output   sync.Mutex      // held while something is written to the disk, and for good once the run is stopped
	progress *progress       // nil: nobody looks
}

// writing does what changes the disk, which Ctrl-C must not cut in half: the run ends when it has stopped by itself.
func (e *env) writing(do func() error) error {
	e.output.Lock()
	defer e.output.Unlock()
	e.progress.clear()
	err := do()
	e.wrote = e.wrote || err == nil
	return err
}

// refused is an error of the data: the folder gives no number until it is mended.
type refused struct {
	problems survey.Problems
	dir      string
	dialects []survey.Dialect // how the tables were read
	mapped   []string
}

func (r refused) Error() string { return r.problems.Error() }

// run is main without the process: it parses the arguments, runs the command and returns the exit code.
func run(args []string, e *env) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(e.stderr, "bedstock: internal error: %v\n%s", p, debug.Stack())
			fmt.Fprintf(e.stderr, "hint: this is a fault of bedstock %s, not of your data; report it with the lines above and the command\n", version)
			code = exitBug
		}
	}()
	var c cli
	exited := -1
	parser := kong.Must(&c, kong.Name("bedstock"), kong.Description(about), kong.Writers(e.stdout, e.stderr),
		kong.Exit(func(n int) { exited = n }), kong.Vars{"version": "bedstock " + version, "figures": strings.Join(report.Kinds(), ", "), "curves": strings.Join(report.CurveNames(), ", ")},
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}))
	if len(args) == 0 {
		args = []string{"--help"}
	}
	kctx, err := parser.Parse(args)
	if exited >= 0 {
		return exited
	}
	if err != nil {
		fmt.Fprintf(e.stderr, "bedstock: %v\n", err)
		fmt.Fprintln(e.stderr, "hint: bedstock --help lists the commands, bedstock COMMAND --help its options")
		return exitUsage
	}
	e.stdout = beside{e.stdout, e.progress}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	e.stop = ctx.Done()
	done := make(chan error, 1)
	crash := make(chan any, 1)
	go func() {
		defer func() {
			if p := recover(); p != nil {
				crash <- fmt.Sprintf("%v\n%s", p, debug.Stack())
			}
		}()
		done <- kctx.Run(e)
	}()
	select {
	case <-ctx.Done():
		e.output.Lock()
		e.progress.clear()
		if e.wrote {
			fmt.Fprintln(e.stderr, "bedstock: stopped; what it wrote before stands whole")
		} else {
			fmt.Fprintln(e.stderr, "bedstock: stopped; nothing was written")
		}
		return exitBreak
	case p := <-crash:
		panic(p)
	case err := <-done:
		e.progress.clear()
		return e.finish(err)
	}
}

// finish prints an error and picks the exit code.
func (e *env) finish(err error) int {
	var data refused
	var usage usageError
	var silent errSilent
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &silent):
		return silent.code
	case errors.As(err, &data):
		e.printProblems(data.problems)
		fmt.Fprintf(e.stderr, "bedstock: %s: %s; no number is given until they are mended or set aside\n", data.dir, count(data.problems))
		return exitRefused
	case errors.As(err, &usage):
		fmt.Fprintf(e.stderr, "bedstock: %v\n", err)
		return exitUsage
	}
	fmt.Fprintf(e.stderr, "bedstock: %v\n", err)
	var refusal *output.Refusal
	if errors.As(err, &refusal) && refusal.Hint != "" {
		fmt.Fprintf(e.stderr, "hint: %s\n", refusal.Hint)
	}
	return exitFailed
}

// note prints what happened on the way.
func (e *env) note(text string) { fmt.Fprintf(e.stderr, "bedstock: %s\n", text) }

// usageError is a mistake in the command line that shows only with the data at hand.
type usageError string

func (u usageError) Error() string { return string(u) }

// printProblems writes every problem with its hint to stderr.
func (e *env) printProblems(ps survey.Problems) {
	for _, p := range ps {
		fmt.Fprintln(e.stderr, p.String())
		if p.Hint != "" {
			fmt.Fprintf(e.stderr, "hint: %s\n", p.Hint)
		}
	}
}

// count says how many faults and doubts there are.
func count(ps survey.Problems) string {
	return plural(len(ps.Faults()), "error") + ", " + plural(len(ps.Doubts()), "warning")
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
