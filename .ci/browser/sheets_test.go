package browsercheck

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// pageOf is a page in the PDF that Chromium prints.
var pageOf = regexp.MustCompile(`/Type /Page\b`)

// What a sheet takes of A4, in mm: a page between its margins, the first page above the quadrats at most, the head of the
// table, and a line.
const (
	sheetPage = 297 - 11 - 12
	sheetTop  = 190
	sheetHead = 10
	sheetLine = 9
)

// Every field sheet of a plan prints on as many pages as its quadrats need, none is torn over two pages, and nothing is
// asked for from outside.
func TestFieldSheets(t *testing.T) {
	dir := os.Getenv("SHEETS")
	if dir == "" {
		t.Skip("SHEETS names no folder of field sheets; run .ci/browser/run")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.html"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no sheets in %s: %v", dir, err)
	}
	b := browser(t)
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			p := open(t, b, path, false)
			p.view(t, 800, "light", "")
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			quadrats := strings.Count(string(text), "<tbody>")
			lines := strings.Count(string(text), "<tr>") - 1
			each := lines / quadrats
			fits := (sheetPage - sheetHead) / (sheetLine * each)
			first := max(0, (sheetPage-sheetTop-sheetHead)/(sheetLine*each))
			most := 1 + (quadrats-first+fits-1)/fits
			least := (lines*8 + sheetPage - 1) / sheetPage
			pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
			must(t, err)
			got := len(pageOf.FindAll(pdf, -1))
			t.Logf("%d quadrats of %d lines on %d pages", quadrats, each, got)
			if got < least || got > most {
				t.Errorf("%d pages; %d quadrats of %d lines need %d to %d", got, quadrats, each, least, most)
			}
			p.quiet(t, path)
		})
	}
}
