package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nothingWeighed is a folder of cover alone: species have cover and nothing was weighed.
func nothingWeighed(species int) map[string]string {
	var q strings.Builder
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct\n")
	for i := range species {
		for t := range 3 {
			for k := range 2 {
				fmt.Fprintf(&q, "skerry,2024-06-1%d,T%d,Q%d%d,0.25,Alga exempli %02d,%d\n", t, t, t, k, i, 1+(i+t+k)%4)
			}
		}
	}
	return map[string]string{"beds.csv": "bed,name,area_m2\nskerry,The Skerry,1200\n", "quadrats.csv": q.String()}
}

func pageOf(t *testing.T, files map[string]string) ([]byte, []*element) {
	t.Helper()
	a := assess(t, folderOf(files))
	figs, err := Figures(a, Options{Version: "test"})
	require.NoError(t, err)
	html, err := HTML(a, figs, Options{Version: "test"})
	require.NoError(t, err)
	wellMade(t, html)
	return html, elements(t, html)
}

func TestPageWhereNothingWasWeighed(t *testing.T) {
	html, all := pageOf(t, nothingWeighed(14))
	lead := ""
	for _, e := range named(all, "p") {
		if e.attr["class"] == "lead" {
			lead = squeeze(e.text)
		}
	}
	assert.Regexp(t, `^No amount can be advised for any of the 14 stands: .*nothing weighed`, lead)
	folds := ""
	for _, e := range named(all, "ul") {
		if e.attr["class"] == "folds" {
			folds = squeeze(e.text)
		}
	}
	assert.Regexp(t, `The Skerry: 14 species not assessed, all for the same reason: .*nothing weighed`, folds)
	assert.NotContains(t, string(html), `<table class="first"`, "fourteen stands share one line")
	assert.Contains(t, string(html), "Alga exempli 13", "every species has its cover")
	assert.NotRegexp(t, `\b0 kg\b`, string(html), "no advice is not an advice of nothing")
	assert.Contains(t, string(html), "Too little is known of what grows here: no amount is advised.")
	assert.Contains(t, folds, "Weigh it in 10 or more quadrats", "and it says what would help")
	assert.NotContains(t, string(html), "<h2 id=\"totals\"")
	assert.NotContains(t, string(html), "<h2 id=\"pressure\"", "an empty figure shows nothing")
	assert.NotContains(t, string(html), "Nothing outside these dates")
}

func TestFewAlikeStandsKeepTheirRows(t *testing.T) {
	html, _ := pageOf(t, nothingWeighed(3))
	assert.Equal(t, 3, strings.Count(string(html), `role="rowheader"`))
	assert.Contains(t, string(html), "not estimable")
	assert.NotRegexp(t, `\b0 kg\b`, string(html))
}

func TestTextOfFilesIsEscaped(t *testing.T) {
	evil := `<script>alert(1)</script>`
	quoted := `"<script>alert(1)</script> & ""co"""`
	files := map[string]string{
		"beds.csv": "bed,name,shore,area_m2,status,reason\n" + evil + "," + quoted + "," + quoted + ",1200,closed," + quoted + "\n",
		"quadrats.csv": "bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g,notes\n" +
			evil + ",2024-06-10,T1,Q1,0.25," + quoted + ",50,400,x\n" + evil + ",2024-06-10,T2,Q2,0.25," + quoted + ",30,240,x\n" +
			evil + ",2024-06-10,T2,Q3,0.25," + quoted + ",20,150,x\n",
		"closures.csv": "bed,species,from,to,reason\n" + evil + ",,2024-01-01,," + quoted + "\n",
		"setaside.csv": "file,bed,date,quadrat,species,reason,by,on\nquadrats.csv," + evil + ",2024-06-10,Q3,," + quoted + "," + quoted + ",2024-07-01\n",
		"species.csv":  "species,common_name,source\n" + quoted + "," + quoted + "," + quoted + "\n",
	}
	html, _ := pageOf(t, files)
	assert.NotContains(t, string(html), "<script")
	assert.Contains(t, string(html), "&lt;script&gt;alert(1)")
}

// The methods say how each table was written, and what a mapping made of it; the public edition leaves the mapping out.
func TestPageSaysHowTablesWereRead(t *testing.T) {
	files := map[string]string{
		"beds.csv":  "bed;area_m2\nskerry;1200,5\n",
		"sheet.csv": "Site,Day,Plot,Kind,Cover\nskerry,14.06.2024,1,Fucus serratus,50\n,,2,Fucus serratus,40\n",
		"rules.toml": "[files]\nquadrats = \"sheet.csv\"\n[input.\"quadrats.csv\"]\nfill_down = [\"bed\", \"date\"]\n[columns.quadrats]\nbed = \"Site\"\n" +
			"date = {from = \"Day\", form = \"DD.MM.YYYY\"}\nquadrat = \"Plot\"\nquadrat_m2 = {value = 0.25}\nspecies = \"Kind\"\ncover_pct = \"Cover\"\n",
	}
	html, all := pageOf(t, files)
	rows := map[string]string{}
	for _, e := range named(all, "tr") {
		rows[squeeze(e.text)] = ""
	}
	assert.Contains(t, rows, "beds.csvsemicolon-separated, decimal comma")
	assert.Contains(t, rows, "quadrats.csvcomma-separated, 2 blank cells filled from the row above")
	assert.Contains(t, string(html), "sheet.csv is read as quadrats.csv, 2 rows: bed from &#34;Site&#34;")
	shown, _ := Public(assess(t, folderOf(files)), Options{Version: "test"})
	assert.Empty(t, shown.Folder.Mapped)
}

func TestPageOfAnEmptyShore(t *testing.T) {
	html, _ := pageOf(t, map[string]string{"beds.csv": "bed,area_m2\nskerry,1200\n",
		"quadrats.csv": "bed,date,quadrat,quadrat_m2,species,cover_pct\nskerry,2024-06-10,Q1,0.25,,0\nskerry,2024-06-10,Q2,0.25,,0\n"})
	assert.Contains(t, string(html), "Nothing was found on any bed, so no amount can be advised.")
}
