package browsercheck

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// violation is one rule of axe-core that the page breaks.
type violation struct {
	ID     string `json:"id"`
	Help   string `json:"help"`
	Target string `json:"target"`
	Why    string `json:"why"`
}

// axeRun asks for every rule of axe-core that concerns a page of text and tables, also for those that are off by
// default. Contrast is left to our own check, which is as strict, sees figures and the dark page, and takes a tenth of
// the time. It tells at most three elements a rule.
const axeRun = `axe.run(document, {
  resultTypes: ['violations'], preload: false, iframes: false,
  rules: { 'target-size': { enabled: true }, 'table-fake-caption': { enabled: true }, 'td-has-header': { enabled: true },
    'color-contrast': { enabled: false } },
}).then((r) => r.violations.flatMap((v) => v.nodes.slice(0, 3).map((n) => ({
  id: v.id, help: v.help + ' (' + v.nodes.length + ')', target: n.target.flat().join(' '), why: n.failureSummary.replace(/\s+/g, ' ') }))))`

// axe loads axe-core into the page and returns what it finds.
func (p *tab) axe(t *testing.T, source string) []violation {
	t.Helper()
	must(t, chromedp.Do(p.ctx, chromedp.Evaluate[chromedp.Void](source)))
	got, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]violation](axeRun, chromedp.EvalAwaitPromise))
	must(t, err)
	return got
}

// axeSource is the text of axe-core.
func axeSource(t *testing.T) string {
	t.Helper()
	path := os.Getenv("AXE")
	if path == "" {
		t.Skip("AXE names no axe.min.js; run .ci/browser/run where npm is installed")
	}
	source, err := os.ReadFile(path)
	must(t, err)
	return string(source)
}

func TestAxe(t *testing.T) {
	path, source := report(t), axeSource(t)
	p := open(t, browser(t), path, true)
	p.unfold(t)
	for _, width := range []int64{widths[0], widths[2]} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			p.view(t, width, "light", "")
			for _, v := range p.axe(t, source) {
				t.Errorf("%s: %s\n  at %s\n  %s", v.ID, v.Help, v.Target, v.Why)
			}
		})
	}
}

func TestAxeFindsWhatIsWrong(t *testing.T) {
	source := axeSource(t)
	good, err := os.ReadFile("testdata/good.html")
	must(t, err)
	b := browser(t)
	page := filepath.Join(t.TempDir(), "page.html")
	for _, w := range []wrong{
		{want: ""},
		{old: "role=\"img\" aria-labelledby=\"t d\"", new: "role=\"img\"", want: "svg-img-alt"},
		{old: "<html lang=\"en\">", new: "<html>", want: "html-has-lang"},
		{old: "<p class=\"tag\">", new: "<p role=\"tab\">", want: "aria-required-parent"},
	} {
		text := string(good)
		if w.want != "" {
			text = strings.Replace(text, w.old, w.new, 1)
			text = strings.Replace(text, "<title id=\"t\">Stock</title>", "", strings.Count(w.want, "svg"))
		}
		must(t, os.WriteFile(page, []byte(text), 0o644))
		var rules []string
		for _, v := range open(t, b, page, true).axe(t, source) {
			rules = append(rules, v.ID)
		}
		if w.want == "" && len(rules) > 0 || w.want != "" && !slices.Contains(rules, w.want) {
			t.Errorf("broken rules %q, want %q", rules, w.want)
		}
	}
}
