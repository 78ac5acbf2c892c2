package browsercheck

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// report is the path of the report to check.
func report(t *testing.T) string {
	t.Helper()
	path := os.Getenv("REPORT")
	if path == "" {
		t.Skip("REPORT names no report.html; run .ci/browser/run")
	}
	return path
}

// The widths of a telephone, a tablet and a desk, and the narrowest that WCAG 2.2 (1.4.10, reflow) asks for.
var widths = []int64{360, 800, 1400, 320}

func TestReport(t *testing.T) {
	path := report(t)
	b := browser(t)
	p := open(t, b, path, false)
	p.view(t, 1400, "light", "")
	p.unfold(t)
	t.Run("structure", func(t *testing.T) { p.check(t, structureJS).require(t) })
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			p.view(t, width, "light", "")
			t.Run("layout", func(t *testing.T) { p.check(t, layoutJS).require(t) })
			t.Run("figures", func(t *testing.T) { p.check(t, figuresJS).require(t) })
			for _, scheme := range []string{"light", "dark"} {
				p.view(t, width, scheme, "")
				if width == 360 || width == 1400 { // cards and tables; between them no colour changes
					t.Run("contrast, "+scheme, func(t *testing.T) { p.check(t, contrastJS).require(t) })
				}
				p.shoot(t, fmt.Sprintf("%d-%s", width, scheme))
			}
		})
	}
	t.Run("quiet", func(t *testing.T) { p.quiet(t, path) })
}

// quiet checks that the page said nothing, asked for nothing but itself, and opened no dialog.
func (p *tab) quiet(t *testing.T, path string) {
	t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.said {
		t.Errorf("console: %s", s)
	}
	for _, s := range p.dialogs {
		t.Errorf("dialog: %s", s)
	}
	if len(p.asked) != 1 || p.asked[0] != fileURL(t, path) {
		t.Errorf("asked for %q, want itself and nothing else", p.asked)
	}
}

// The page keeps quiet also where its own ban on scripts does not hold, and shows hostile text as it stands.
func TestNothingRuns(t *testing.T) {
	path := report(t)
	p := open(t, browser(t), path, true)
	p.unfold(t)
	p.quiet(t, path)
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.body.innerText`))
	must(t, err)
	text = strings.Join(strings.Fields(text), " ")
	for want := range strings.SplitSeq(os.Getenv("SHOWN"), "\n") {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not show %q", want)
		}
	}
}

// A figure is also a file of its own: well-formed, named, and as quiet as the page.
func TestFigureFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(filepath.Dir(report(t)), "figures", "*.svg"))
	must(t, err)
	if len(files) == 0 {
		t.Fatal("no figures beside the report")
	}
	b := browser(t)
	for _, file := range files[:min(len(files), 60)] {
		t.Run(filepath.Base(file), func(t *testing.T) {
			p := open(t, b, file, false)
			root, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](
				`document.querySelector('parsererror') ? 'not well-formed' : document.documentElement.localName + (document.querySelector('svg > title')?.textContent.trim() ? '' : ' without a title')`))
			must(t, err)
			if root != "svg" {
				t.Error(root)
			}
			p.quiet(t, file)
		})
	}
}

func TestPrint(t *testing.T) {
	path := report(t)
	b := browser(t)
	p := open(t, b, path, false)
	for _, scheme := range []string{"light", "dark"} {
		t.Run(scheme, func(t *testing.T) {
			p.view(t, paperWidth, scheme, "print")
			p.check(t, printJS).require(t)
			p.check(t, contrastJS).require(t)
		})
	}
	t.Run("pages", func(t *testing.T) {
		pdf, err := chromedp.Run(open(t, b, path, false).ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFOutlineAndTagged()))
		must(t, err)
		if n := pages(pdf); n < 2 {
			t.Errorf("printed on %d pages", n)
		} else {
			t.Logf("%d pages", n)
		}
		keep(t, "printed.pdf", pdf)
	})
}

// paperWidth is the width of the text on A4 with the margins of the report: 210 mm less twice 14 mm, at 96 px an inch.
const paperWidth = 688

// pages counts the page objects of a PDF file as Chromium writes it.
func pages(pdf []byte) int { return len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1)) }

// shoot keeps a picture of the whole page where SHOTS asks for it.
func (p *tab) shoot(t *testing.T, name string) {
	t.Helper()
	if os.Getenv("SHOTS") == "" {
		return
	}
	shot, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	must(t, err)
	keep(t, name+".png", shot)
}

func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("SHOTS"); dir != "" {
		must(t, os.MkdirAll(dir, 0o755))
		must(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
}
