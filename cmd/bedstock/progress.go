package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"golang.org/x/term"
)

// progress is one line on a terminal that says what is being done, how many beds of it are done and about how long it will
// still take. It comes only where a run takes its time, and is wiped before anything else is said. A nil one says nothing.
type progress struct {
	w   io.Writer
	now func() time.Time

	mu    sync.Mutex
	began map[string]time.Time // by stage
	last  time.Time
	first time.Time
	shown bool
	quiet bool
}

const (
	progressAfter = 500 * time.Millisecond // a run that is over sooner needs no line
	progressEvery = 100 * time.Millisecond
)

// newProgress is the line of a terminal; nil where w is none.
func newProgress(w io.Writer) *progress {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	return &progress{w: w, now: time.Now}
}

// step says that so many beds of a stage are done.
func (p *progress) step(stage string, done, total int) {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.quiet {
		return
	}
	at := p.now()
	if p.began == nil {
		p.began, p.first = map[string]time.Time{}, at
	}
	if _, ok := p.began[stage]; !ok || done == 0 { // or again, of other beds
		p.began[stage] = at
	}
	if at.Sub(p.first) < progressAfter || at.Sub(p.last) < progressEvery {
		return
	}
	p.last, p.shown = at, true
	left := ""
	if spent := at.Sub(p.began[stage]); done > 0 && done < total {
		left = ", about " + shortly(time.Duration(float64(spent)*float64(total-done)/float64(done))) + " left"
	}
	fmt.Fprintf(p.w, "\r\x1b[K%s: %d of %d beds and species%s", stage, done, total, left)
}

// silence keeps the line from coming.
func (p *progress) silence() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.quiet = true
}

// shortly is a time in words, to the second or the minute.
func shortly(d time.Duration) string {
	if d < 90*time.Second {
		return fmt.Sprintf("%d s", max(1, int(d.Round(time.Second)/time.Second)))
	}
	return fmt.Sprintf("%d min", int(d.Round(time.Minute)/time.Minute))
}

// clear wipes the line.
func (p *progress) clear() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
}

// beside writes what is said where the line stands, which is wiped before it.
type beside struct {
	io.Writer
	line *progress
}

func (b beside) Write(p []byte) (int, error) {
	b.line.clear()
	return b.Writer.Write(p)
}
