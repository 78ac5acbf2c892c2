package browsercheck

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// wrong is a page that differs from testdata/good.html in one text, and the fault that must be found in it.
type wrong struct {
	name, old, new string
	look           string // "", "dark" or "print"
	want           string
}

var structureWrongs = []wrong{
	{name: "second h1", old: "<h2 id=\"part\">A part</h2>", new: "<h1 id=\"part\">A part</h1>", want: "the page has 2 h1"},
	{name: "jump", old: "<h2 id=\"part\">A part</h2>", new: "<h3 id=\"part\">A part</h3>", want: "heading jumps from h1"},
	{name: "empty heading", old: ">A part<", new: "> <", want: "empty heading"},
	{name: "no caption", old: "<caption>Stock</caption>", want: "table without a caption"},
	{name: "no scope", old: "<th scope=\"row\">", new: "<th>", want: "th without scope"},
	{name: "short row", old: "<td>12</td>", want: "rows of unlike length"},
	{name: "id twice", old: "<p class=\"tag\">", new: "<p id=\"part\">", want: "id twice: #part"},
	{name: "lost label", old: "\"t d\"", new: "\"t e\"", want: "aria-labelledby to nothing, #e"},
	{name: "lost link", old: "href=\"#part\"", new: "href=\"#parts\"", want: "link to nothing: #parts"},
	{name: "file link", old: "href=\"#part\"", new: "href=\"stock.csv\"", want: "neither of the page nor of the web"},
	{name: "empty link", old: ">link<", new: "><", want: "link without text"},
	{name: "script", old: "</main>", new: "<script>1</script></main>", want: "does not belong into a report: script"},
	{name: "handler", old: "<p class=\"tag\">", new: "<p onclick=\"1\">", want: "attribute that can run, onclick"},
	{name: "no doctype", old: "<!doctype html>", want: "no doctype"},
	{name: "no language", old: " lang=\"en\"", want: "no language"},
	{name: "no title", old: "A page with nothing wrong", want: "no title"},
}

var layoutWrongs = []wrong{
	{name: "wide", old: "<h2 id=\"part\">", new: "<h2 id=\"part\" style=\"width:500px\">", want: "sticks out to the right by 140.0px: h2#part"},
	{name: "wide table", old: " class=\"scroll\"", want: "the page scrolls sideways"},
	{name: "hidden", old: "body { margin: 0;", new: "body { margin: 0; overflow-x: hidden;", want: "hidden by body"},
	{name: "no viewport", old: "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">", want: "lays itself out for 980px"},
	{name: "left", old: "<p class=\"tag\">", new: "<p style=\"margin-left:-9px\">", want: "sticks out to the left"},
	{name: "cut off", old: "<p class=\"tag\">", new: "<p style=\"width:30px;overflow:hidden;white-space:nowrap\">", want: "text cut off"},
	{name: "mouse only", old: " tabindex=\"0\"", want: "scrolls by mouse only"},
	{name: "over its cell", old: "<td>12", new: "<td style=\"display:block;width:20px\">120000000000", want: "runs over its cell"},
}

var figureWrongs = []wrong{
	{name: "no role", old: "role=\"img\"", want: "without role=img"},
	{name: "no title", old: "<title id=\"t\">Stock</title>", want: "figure without a title"},
	{name: "empty desc", old: ">Twelve.<", new: "><", want: "figure without a desc"},
	{name: "not named", old: "aria-labelledby=\"t d\"", new: "aria-labelledby=\"t\"", want: "not named by its desc"},
	{name: "hidden", old: "<svg ", new: "<svg style=\"visibility:hidden\" ", want: "figure not visible"},
	{name: "flat", old: "width=\"200\" height=\"100\" role", new: "width=\"200\" height=\"0\" role", want: "figure not visible"},
	{name: "outside", old: "figure { margin: 0; }", new: "figure { margin: 0; width: 150px; }", want: "figure outside its box"},
	{name: "no figure", old: "<figure>", new: "<div>", want: "svg outside a figure"},
	{name: "no caption", old: "<figcaption>Stock by bed</figcaption>", want: "figure without a caption"},
	{name: "at the edge", old: "x=\"110\"", new: "x=\"180\"", want: "words cut off at the edge"},
	{name: "over each other", old: "x=\"110\"", new: "x=\"30\"", want: "words over each other"},
}

// The ratio of #777777 on white, 4.48, is WCAG's own example of what just fails.
var contrastWrongs = []wrong{
	{name: "grey", old: "color: #222;", new: "color: #777777;", want: "contrast 4.48 of text: p.tag"},
	{name: "see-through", old: "<p class=\"tag\">", new: "<p style=\"opacity:.5\">", want: "of text: p"},
	{name: "own ground", old: "<p class=\"tag\">", new: "<p style=\"background:#333\">", want: "of text: p"},
	{name: "picture", old: "<p class=\"tag\">", new: "<p style=\"background:linear-gradient(red,blue)\">", want: "not understood: p"},
	{name: "written by the style", old: "color: #444;", new: "color: #999;", want: "of ::before: p"},
	{name: "dark", old: "a { color: #9cf; }", new: "a { color: #246; }", look: "dark", want: "of text: a"},
	{name: "dark in a figure", old: "<rect width=\"200\" height=\"100\" fill=\"#ffffff\"/>", look: "dark", want: "of words of a figure: text \"North\""},
	{name: "on a bar", old: "fill=\"#ffffff\">South", new: "fill=\"#222222\">South", want: "of words of a figure: text \"South\""},
	{name: "ground that is not printed", old: "<p class=\"tag\">", new: "<p style=\"background:#333;color:#fff\">", look: "print", want: "contrast 1.00 of text: p"},
}

var printWrongs = []wrong{
	{name: "wide", old: "<h2 id=\"part\">", new: "<h2 id=\"part\" style=\"width:900px\">", want: "900px wide on paper"},
	{name: "wide table", old: "table { width: auto; }", new: "table { width: 900px; }", want: "off the paper by 212.0px: table"},
	{name: "folded", old: "@media print {", new: "@media speech {", want: "folded away on paper"},
}

func TestChecksFindWhatIsWrong(t *testing.T) {
	good, err := os.ReadFile("testdata/good.html")
	must(t, err)
	b := browser(t)
	page := filepath.Join(t.TempDir(), "page.html")
	for _, group := range []struct {
		name, check, look string
		wrongs            []wrong
	}{
		{"structure", structureJS, "", structureWrongs}, {"layout", layoutJS, "", layoutWrongs}, {"figures", figuresJS, "", figureWrongs},
		{"contrast", contrastJS, "", contrastWrongs}, {"print", printJS, "print", printWrongs},
	} {
		t.Run(group.name, func(t *testing.T) {
			for _, look := range []string{"", "dark", "print"} {
				must(t, os.WriteFile(page, good, 0o644))
				if (look == "print") == (group.name == "print") || group.name == "contrast" {
					open(t, b, page, false).as(t, look).check(t, group.check).require(t)
				}
			}
			for _, w := range group.wrongs {
				if w.look == "" {
					w.look = group.look
				}
				t.Run(w.name, func(t *testing.T) { w.find(t, open(t, b, w.write(t, page, string(good)), false), group.check) })
			}
		})
	}
}

// write writes the wrong page.
func (w wrong) write(t *testing.T, path, good string) string {
	t.Helper()
	if strings.Count(good, w.old) != 1 {
		t.Fatalf("%q is not once in the good page", w.old)
	}
	must(t, os.WriteFile(path, []byte(strings.Replace(good, w.old, w.new, 1)), 0o644))
	return path
}

// find fails the test unless the check finds the fault.
func (w wrong) find(t *testing.T, p *tab, check string) {
	t.Helper()
	for _, fault := range p.as(t, w.look).check(t, check).Faults {
		if strings.Contains(fault, w.want) {
			return
		}
	}
	t.Errorf("no fault says %q: %q", w.want, p.check(t, check).Faults)
}

// as shows the page the way the case asks for: on a telephone, light or dark, or on paper.
func (p *tab) as(t *testing.T, look string) *tab {
	t.Helper()
	switch look {
	case "print":
		p.view(t, paperWidth, "light", "print")
	case "dark":
		p.view(t, widths[0], "dark", "")
	default:
		p.view(t, widths[0], "light", "")
	}
	return p
}
