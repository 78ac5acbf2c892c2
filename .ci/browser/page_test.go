package browsercheck

import (
	"context"
	_ "embed"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

var (
	//go:embed checks/common.js
	commonJS string
	//go:embed checks/structure.js
	structureJS string
	//go:embed checks/layout.js
	layoutJS string
	//go:embed checks/figures.js
	figuresJS string
	//go:embed checks/contrast.js
	contrastJS string
	//go:embed checks/print.js
	printJS string
)

// finding is what a check returns: how many things it looked at, and what is wrong with them.
type finding struct {
	Seen   int      `json:"seen"`
	Faults []string `json:"faults"`
}

// tab is an open page with all it said and asked for.
type tab struct {
	ctx context.Context

	mu       sync.Mutex
	said     []string // console messages, uncaught faults, entries of the browser's log
	asked    []string // addresses of requests
	dialogs  []string // texts of alerts and the like
	printing bool
	width    int64
}

// browser starts Chromium for one test. Its sandbox is off, because it cannot be had in many containers; the pages
// are our own.
func browser(t *testing.T) context.Context {
	t.Helper()
	opts := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true))
	if path := os.Getenv("CHROMIUM"); path != "" {
		opts = append(opts, chromedp.ExecPath(path))
	}
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, closeAll := chromedp.NewContext(alloc)
	t.Cleanup(func() {
		closeAll()
		stop()
	})
	must(t, chromedp.Do(ctx))
	return ctx
}

// open opens the file in a new tab of the browser and waits until it is loaded. With bypass, the page's own ban on
// scripts is lifted.
func open(t *testing.T, in context.Context, path string, bypass bool) *tab {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(in)
	limited, stop := context.WithTimeout(ctx, 10*time.Minute)
	t.Cleanup(func() {
		stop()
		closeTab()
	})
	p := &tab{ctx: limited}
	must(t, chromedp.Do(ctx))
	must(t, chromedp.Listen(ctx, p.note))
	if bypass {
		_, err := chromedp.Call(limited, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true})
		must(t, err)
	}
	must(t, chromedp.Do(limited, chromedp.Navigate(fileURL(t, path))))
	return p
}

// note keeps what the page says and asks for, and closes dialogs, which would stop the page.
func (p *tab) note(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		p.said = append(p.said, fmt.Sprintf("console.%s", ev.Type))
	case *runtime.EventExceptionThrown:
		p.said = append(p.said, ev.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		p.said = append(p.said, ev.Entry.Text)
	case *network.EventRequestWillBeSent:
		p.asked = append(p.asked, ev.Request.URL)
	case *page.EventJavascriptDialogOpening:
		p.dialogs = append(p.dialogs, ev.Message)
		go func() {
			_, _ = chromedp.Call(p.ctx, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: true})
		}()
	}
}

// view sets the width of the window and the reader's preference of light or dark.
func (p *tab) view(t *testing.T, width int64, scheme, medium string) {
	t.Helper()
	opts := []chromedp.EmulateViewportOption{}
	if width < 600 {
		opts = append(opts, chromedp.EmulateMobile) // then the page's own viewport counts
	}
	p.width, p.printing = width, medium == "print"
	must(t, chromedp.Do(p.ctx, chromedp.EmulateViewport(width, 900, opts...)))
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	must(t, err)
}

// unfold opens every fold of the page.
func (p *tab) unfold(t *testing.T) {
	t.Helper()
	must(t, chromedp.Do(p.ctx, chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach((d) => { d.open = true })`)))
}

// check runs one of the checks in the page.
func (p *tab) check(t *testing.T, js string) finding {
	t.Helper()
	script := fmt.Sprintf("(() => { const SCREEN = %d, PAPER = %t;\n%s\nreturn (%s)(); })()", p.width, p.printing, commonJS, bare(js))
	got, err := chromedp.Run(p.ctx, chromedp.Evaluate[finding](script))
	must(t, err)
	return got
}

// bare takes off the comment lines a check begins with, which would hide what follows "return (".
func bare(js string) string {
	for strings.HasPrefix(js, "//") {
		_, js, _ = strings.Cut(js, "\n")
	}
	return strings.TrimSpace(js)
}

// require fails the test for every fault, and where the check saw nothing at all.
func (f finding) require(t *testing.T) {
	t.Helper()
	if f.Seen == 0 {
		t.Error("found nothing to check")
	}
	for i, fault := range f.Faults {
		if i == 25 {
			t.Errorf("and %d more", len(f.Faults)-i)
			return
		}
		t.Error(fault)
	}
}

func fileURL(t *testing.T, path string) string {
	t.Helper()
	abs, err := filepath.Abs(path)
	must(t, err)
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(abs)}).String()
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
