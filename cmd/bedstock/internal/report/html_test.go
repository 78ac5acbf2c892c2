package report

import (
	"fmt"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

var demoHTML = sync.OnceValues(func() ([]byte, error) { return HTML(demoOnce(), demoFigures(), invented) })

func demoPage(t *testing.T) []byte {
	t.Helper()
	html, err := demoHTML()
	require.NoError(t, err)
	return html
}

func demoElements(t *testing.T) []*element {
	t.Helper()
	demoPage(t)
	return demoParsed()
}

var demoParsed = sync.OnceValue(func() []*element {
	html, _ := demoHTML()
	all, err := parse(html)
	if err != nil {
		panic(err)
	}
	return all
})

func TestPageIsWellMade(t *testing.T) { wellMade(t, demoPage(t)) }

// wellMade checks what a browser, a printer and a screen reader need, and that nothing is loaded or run.
func wellMade(t *testing.T, html []byte) {
	t.Helper()
	assert.True(t, strings.HasPrefix(string(html), "<!doctype html>\n<html lang=\"en\">"))
	all := elements(t, html)
	ids := map[string]bool{}
	for _, e := range all {
		if id, ok := e.attr["id"]; ok {
			assert.False(t, ids[id], "two elements have the id %q", id)
			ids[id] = true
		}
	}
	level := 0
	for _, e := range all {
		for _, ref := range append(strings.Fields(e.attr["aria-labelledby"]), strings.TrimPrefix(e.attr["href"], "#")) {
			assert.True(t, ref == "" || ids[ref], "%s refers to %q, which is not there", e.name, ref)
		}
		switch e.name {
		case "h1", "h2", "h3", "h4", "h5", "h6":
			now := int(e.name[1] - '0')
			assert.LessOrEqual(t, now, level+1, "heading %q skips a level", squeeze(e.text))
			level = now
			assert.NotEmpty(t, squeeze(e.text))
		case "th":
			assert.Contains(t, []string{"col", "row"}, e.attr["scope"], "a heading cell without scope: %q", e.text)
		case "script", "link", "iframe", "object", "embed", "img", "base", "form", "foreignObject":
			t.Errorf("a %s element in the page", e.name)
		case "svg":
			assert.Equal(t, "img", e.attr["role"])
		case "figure":
			assert.NotEmpty(t, e.attr["id"])
		}
		for name := range e.attr {
			assert.False(t, strings.HasPrefix(name, "on") || name == "src", "%s has the attribute %s", e.name, name)
		}
	}
	assert.Len(t, named(all, "h1"), 1)
	assert.Len(t, named(all, "main"), 1)
	assert.Equal(t, len(named(all, "table")), len(named(all, "caption")))
	assert.Equal(t, len(named(all, "figure")), len(named(all, "figcaption")))
	policy := "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
	assert.True(t, slices.ContainsFunc(named(all, "meta"), func(e *element) bool { return e.attr["content"] == policy }))
	assert.NotRegexp(t, `url\(|@import`, style)
	for _, e := range named(all, "body") {
		assert.NotRegexp(t, regexp.MustCompile(`\bNaN\b|[+-]?\bInf\b|<nil>|%!|ZgotmplZ|0001-01-01`), e.text)
	}
}

func TestTableRowsAreAsLongAsTheirHeads(t *testing.T) {
	all := demoElements(t)
	for i, e := range all {
		if e.name != "table" {
			continue
		}
		var rows []int
		for _, c := range all[i+1:] {
			if len(c.above) <= len(e.above) {
				break
			}
			switch c.name {
			case "tr":
				rows = append(rows, 0)
			case "th", "td":
				rows[len(rows)-1]++
			}
		}
		for _, n := range rows {
			assert.Equal(t, rows[0], n, "table %s", squeeze(e.text)[:60])
		}
	}
}

func TestPageIsTheSameEveryTime(t *testing.T) {
	first := demoPage(t)
	before := runtime.GOMAXPROCS(1)
	figs, err := Figures(demoOnce(), invented)
	require.NoError(t, err)
	second, err := HTML(demoOnce(), figs, invented)
	runtime.GOMAXPROCS(before)
	require.NoError(t, err)
	assert.Equal(t, first, second)
	assert.Less(t, len(first), 3<<20)
}

func TestOnlyInventedDataSaySo(t *testing.T) {
	assert.GreaterOrEqual(t, strings.Count(string(demoPage(t)), "INVENTED DATA"), 2+len(demoOnce().Folder.Beds))
	a := demoOnce()
	plain := Options{Version: "test"}
	figs, err := Figures(a, plain)
	require.NoError(t, err)
	html, err := HTML(a, figs, plain)
	require.NoError(t, err)
	assert.NotContains(t, string(html), "INVENTED DATA.</strong>")
	assert.NotContains(t, string(html), "@top-right")
}

func TestOrderIsThatOfStockAdvice(t *testing.T) {
	html := string(demoPage(t))
	last := 0
	for _, id := range []string{"advice", "first", "totals", "pressure", "bed-1", "bed-2", "methods", "aside", "sources", "cautions"} {
		at := strings.Index(html, `<h2 id="`+id+`"`)
		assert.Greater(t, at, last, "the part %s", id)
		last = at
	}
}

// Words of the methods stay in the methods part: a manager reads none of them.
func TestWordsOfTheMethodsStayThere(t *testing.T) {
	all := demoElements(t)
	for _, e := range named(all, "section") {
		if e.attr["class"] == "methods" {
			assert.Contains(t, e.text, "R-hat")
			continue
		}
		if e.attr["aria-labelledby"] == "sources" { // titles of papers
			continue
		}
		assert.NotRegexp(t, regexp.MustCompile(`(?i)r-hat|\bposterior|\bprior\b|\bdraws\b|\bESS\b|\bPSU\b`), e.text, e.attr["aria-labelledby"])
	}
}

func TestEveryStandAndBedIsInThePage(t *testing.T) {
	a, all := demoOnce(), demoElements(t)
	for i := range a.Units {
		u := &a.Units[i]
		assert.Contains(t, textOf(t, all, unitAnchor(i)), u.Species)
	}
	for _, b := range a.Folder.Beds {
		assert.Contains(t, textOf(t, all, bedAnchor(a, b.ID)), place(a, b).Name)
		assert.Contains(t, textOf(t, all, bedAnchor(a, b.ID)+"-notice"), place(a, b).Name)
	}
}

func TestEveryFigureIsInThePage(t *testing.T) {
	html := string(demoPage(t))
	for _, f := range demoFigures() {
		assert.Contains(t, html, fmt.Sprintf(`<figure id="%s">`, f.Name))
		assert.Equal(t, 1, strings.Count(html, string(f.SVG)), f.Name)
	}
}

func TestFirstScreenSaysWhatTheAssessmentSays(t *testing.T) {
	a := demoOnce()
	rows, folds := firstScreen(a)
	assert.Empty(t, folds)
	require.Len(t, rows, len(a.Units))
	for n, i := range byAction(a) {
		u, r := &a.Units[i], rows[n]
		assert.Equal(t, unitAnchor(i), r.Anchor)
		require.Len(t, r.Seasons, len(u.Seasons))
		for k, s := range u.Seasons {
			if s.Status == model.Assessed {
				assert.Equal(t, kilos(s.AdvisedKg)+" kg", r.Seasons[k].Kg)
			}
			if s.Status == model.NotAssessed {
				assert.Empty(t, r.Seasons[k].Kg, "no advice is not 0 kg")
			}
		}
	}
}

func TestCautionsAreComplete(t *testing.T) {
	text := ""
	for _, e := range named(demoElements(t), "section") {
		if e.attr["class"] == "cautions" {
			text = strings.ToLower(squeeze(e.text))
		}
	}
	for _, w := range []string{"tides", "swell", "slippery", "never go alone", "time to leave", "knives", "never scrape or pull", "holdfast",
		"removal", "protected sites", "birds", "seals", "clean gear", "outfalls", "ports", "spills", "shellfish", "iodine", "cadmium",
		"arsenic", "allergens", "licence", "landowner", "existing rights", "not permission", "not legally open"} {
		assert.Contains(t, text, w)
	}
}
