package survey

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
)

// The demo survey that comes with the tool has no fault, and of doubts only those that it is made to show.
func TestCheckDemo(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	f, err := Read(demo, embeddedTable(t), DefaultOptions())
	require.NoError(t, err)
	require.NotZero(t, f.Quadrats.Len())
	assert.True(t, f.CutsKnown)
	var kinds []string
	for _, p := range f.Doubts {
		kinds = append(kinds, p.File+" "+p.Text)
	}
	require.Len(t, kinds, 2)
	assert.Contains(t, kinds[0], "holds no share in permits.csv")
	assert.Contains(t, kinds[1], "strata of bed mubblestone without a visit")
}

// bareFolder has only what a folder needs, without strata or transects.
func bareFolder() map[string]string {
	return map[string]string{
		"beds.csv": "bed,area_m2\nSkarn,1200\n",
		"quadrats.csv": "bed,date,quadrat,quadrat_m2,species,cover_pct,biomass_g\n" +
			"Skarn,2030-06-01,1,0.25,Fucus serratus,60,812\nSkarn,2030-06-01,2,0.25,Fucus serratus,5,70\n",
		"harvest.csv": "bed,date,species,wet_kg\nSkarn,2030-07-01,Fucus serratus,0\n",
	}
}

// Each optional file alone is read without anything to say, with a row and with none.
func TestCheckEachOptionalFile(t *testing.T) {
	for name, text := range map[string]string{
		"strata.csv":  "bed,stratum,area_m2\nSkarn,all,1200\n",
		"surveys.csv": "bed,survey,from,to\nSkarn,S30,2030-06-01,2030-06-01\n",
		"fronds.csv":  "bed,date,quadrat,species,frond_cm\nSkarn,2030-06-01,2,fucus serratus,31\n",
		"regrowth.csv": "plot,species,date,event,biomass_g,plot_m2\nA,Fucus serratus,2029-06-01,cut,900,0.25\n" +
			"A,Fucus serratus,2030-06-01,measure,500,0.25\n",
		"events.csv":    "bed,date,kind\nSkarn,2029-12-20,storm\n",
		"closures.csv":  "bed,from,reason\nSkarn,2031-01-01,rest\n",
		"decisions.csv": "bed,species,season,from,to,kg,decided_on\nSkarn,Fucus serratus,all,2030-06-15,2030-08-01,5,2030-06-10\n",
		"species.csv":   "species,r_per_year\nFucus serratus,0.9\n",
		"setaside.csv":  "file,quadrat,reason\nquadrats.csv,1,label lost\n",
		"permits.csv":   "permit,bed,share\nP1,Skarn,1\n",
		"tides.csv":     "time,height_m\n2030-06-01 07:20,0.3\n",
		"rules.toml":    "risk = 0.1\n",
	} {
		texts := bareFolder()
		if name == "strata.csv" {
			texts["quadrats.csv"] = "bed,date,stratum,quadrat,quadrat_m2,species,cover_pct,biomass_g\n" +
				"Skarn,2030-06-01,all,1,0.25,Fucus serratus,60,812\nSkarn,2030-06-01,all,2,0.25,Fucus serratus,5,70\n"
		}
		if name == "setaside.csv" { // two must be left
			texts["quadrats.csv"] += "Skarn,2030-06-01,3,0.25,Fucus serratus,5,70\n"
		}
		header, _, _ := strings.Cut(text, "\n")
		for _, text := range []string{text, header + "\n"} {
			if name == "strata.csv" && text == header+"\n" {
				continue // strata need rows
			}
			texts[name] = text
			assert.Equal(t, "nothing\n", whatIsFound(files(texts), smallTable(), DefaultOptions()), "%s: %s", name, text)
		}
	}
}

// Cuts are known from the first row of harvest.csv, be it a nil return.
func TestCutsKnown(t *testing.T) {
	texts := bareFolder()
	f, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	assert.True(t, f.CutsKnown)
	texts["harvest.csv"], _, _ = strings.Cut(texts["harvest.csv"], "Skarn")
	f, err = Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	assert.False(t, f.CutsKnown)
	assert.Equal(t, "harvest.csv: warning: no rows: cuts are not known", f.Doubts.Error())
}

// A monitoring folder of hundreds of species and many years, each naming others, gets a handful of lines.
func TestCheckFoldsDoubts(t *testing.T) {
	var b strings.Builder
	b.WriteString("bed,date,stratum,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for year := 2011; year < 2023; year++ {
		for s := range 300 {
			if (s+year)%3 == 0 {
				fmt.Fprintf(&b, "Skarn,%d-%02d-11,low,%d,0.25,Rubra n%03d,%d,%d\n", year, 4+year%4, s%10, s, s%2*30, 5*s)
			}
		}
	}
	texts := bareFolder()
	texts["quadrats.csv"] = b.String()
	delete(texts, "harvest.csv")
	f, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	traces := 0
	var rest []string
	for _, p := range f.Doubts {
		if strings.Contains(p.Text, "was weighed where its cover is 0") {
			traces++
		} else {
			rest = append(rest, p.Text)
		}
	}
	assert.LessOrEqual(t, traces, maxAlike)
	assert.Len(t, rest, 6, "harvest, stratum, species, season, years and the traces counted: %s", strings.Join(rest, "\n"))
}

func TestAlsoIn(t *testing.T) {
	for n, want := range map[int]string{1: "", 2: "; also in line 20", 3: "; also in lines 20 and 30",
		6: "; also in lines 20, 30, 40, 50 and 60", 7: "; also in lines 20, 30, 40, 50, 60 and 1 more",
		100: "; also in lines 20, 30, 40, 50, 60 and 94 more"} {
		var s sites
		for i := range n {
			s.add(10 * (i + 1))
		}
		assert.Equal(t, want, s.also())
	}
}

func TestMeant(t *testing.T) {
	names := []string{"Skarn", "Anvik", "bed 12", "Old Fennimer", "T1"}
	for name, want := range map[string]string{
		"SKARN": "Skarn", "Skran": "Skarn", "Skar": "Skarn", "Skarnes": "", "old  fenimmer": "Old Fennimer", "bed 13": "",
		"bad 12": "bed 12", "T2": "", "t1": "T1", "Holm": "",
	} {
		if want != "" {
			want = "did you mean " + want + "?"
		}
		assert.Equal(t, want, meant(name, names), name)
	}
}

// The season's shift is the least between the surveys of two years, over New Year too.
func TestLeastShift(t *testing.T) {
	on := func(dates ...string) (out []round) {
		for _, d := range dates {
			out = append(out, round{date: day(d)})
		}
		return out
	}
	for _, c := range []struct {
		a, b []round
		want int
	}{
		{on("2030-06-01"), on("2031-06-01"), 0},
		{on("2030-06-01"), on("2031-08-10"), 70},
		{on("2030-06-01"), on("2031-04-20"), -42},
		{on("2030-06-01", "2030-10-01"), on("2031-09-25"), -6},
		{on("2030-12-28"), on("2032-01-05"), 8},
		{on("2030-01-05"), on("2031-12-28"), -8},
	} {
		assert.Equal(t, c.want, leastShift(c.a, c.b), "%v %v", c.a[0].date, c.b[0].date)
	}
}

// Any text in place of one file of a sound folder: reading ends without a panic, says the same twice, and refuses the
// folder only with a fault.
func FuzzReadFolder(f *testing.F) {
	for i, spec := range surveyTables {
		f.Add(uint8(i), smallFolder()[spec.file])
	}
	f.Add(uint8(3), "bed,date,quadrat,quadrat_m2,species,cover_pct\nSkarn,1000-01-01,1,1e-300,U,1\nSkarn,9999-12-31,1,1e300,U,1\n")
	f.Add(uint8(2), "bed,survey,from,to\nSkarn,A,2030-06-01,2030-06-30\nSkarn,B,2030-06-01,2030-06-02\nSkarn,C,2030-05-01,2030-07-02\n")
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		texts := smallFolder()
		texts[surveyTables[int(which)%len(surveyTables)].file] = text
		once := whatIsFound(files(texts), smallTable(), DefaultOptions())
		if again := whatIsFound(files(texts), smallTable(), DefaultOptions()); once != again {
			t.Fatalf("%s\nand then\n%s", once, again)
		}
		var err error
		thrifty(t, len(text), func() { _, err = Read(files(texts), smallTable(), DefaultOptions()) })
		if ps, ok := errors.AsType[Problems](err); ok && len(ps.Faults()) == 0 {
			t.Fatal("refused without a fault")
		}
	})
}
