package main

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// printed runs a command that must succeed and returns what it printed.
func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(args, &env{stdin: strings.NewReader(""), stdout: &out, stderr: &errs})
	require.Equal(t, exitDone, code, errs.String())
	return out.String()
}

var blanks = regexp.MustCompile(` {2,}`)

// printedTable is the table of a text whose header begins with a word: its rows by column.
func printedTable(t *testing.T, text, head string) []map[string]string {
	t.Helper()
	var names []string
	var out []map[string]string
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		switch fields := blanks.Split(strings.TrimSpace(line), -1); {
		case names == nil && strings.HasPrefix(line, "  "+head+" "):
			names = fields
		case names == nil || strings.HasPrefix(line, "     "): // before the table, or the line of units
		case len(fields) != len(names):
			return out
		default:
			row := map[string]string{}
			for i, f := range fields {
				row[names[i]] = f
			}
			out = append(out, row)
		}
	}
	return out
}

func parsed(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// after is the number that follows a text.
func after(t *testing.T, text, lead string) float64 {
	t.Helper()
	_, rest, ok := strings.Cut(text, lead)
	require.True(t, ok, "%q in\n%s", lead, text)
	return parsed(t, strings.TrimRight(strings.FieldsFunc(rest, func(r rune) bool { return r == ' ' || r == '\n' })[0], ",;"))
}

// sixDigits checks a number that was recomputed against one printed with six significant digits.
// scale is the size of the numbers that it is the difference of, which have eight.
func sixDigits(t *testing.T, name string, got, want, scale float64) {
	t.Helper()
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(want)))-5)
	if want == 0 {
		unit = 1e-6
	}
	if d := math.Abs(got - want); !(d <= 0.51*unit+1e-7*scale) {
		t.Errorf("%s: got %.9g, want %.9g, difference %.3g", name, got, want, d)
	}
}

// byHand recomputes a stock from the numbers of its explanation alone.
func byHand(t *testing.T, name, text string) (stock, se, df, lo, hi float64) {
	t.Helper()
	_, sum, _ := strings.Cut(text, "3. The stock")
	for _, row := range printedTable(t, sum, "stratum") {
		stock += parsed(t, row["A"]) * parsed(t, row["y"])
	}
	_, errors, ok := strings.Cut(text, "4. Its error")
	if !ok || strings.Contains(errors, "there is no standard error") {
		nan := math.NaN()
		return stock, nan, nan, nan, nan
	}
	handSampling(t, name, errors)
	v, below := 0.0, 0.0
	for _, row := range printedTable(t, errors, "part of v") {
		x := parsed(t, row["V"])
		v += x
		if row["df"] != "known" {
			below += x * x / parsed(t, row["df"])
		}
	}
	se, df = math.Sqrt(v), v*v/below
	if strings.Contains(errors, "no interval") {
		return stock, se, df, math.NaN(), math.NaN()
	}
	q := after(t, errors, "  t = ")
	level := after(t, errors, q2(errors)) / 100
	sixDigits(t, name+" t", distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.5+level/2), q, 10*q)
	if strings.Contains(errors, "B exp(-t s)") {
		s := math.Sqrt(math.Log(1 + v/(stock*stock)))
		return stock, se, df, stock * math.Exp(-q*s), stock * math.Exp(q*s)
	}
	return stock, se, df, max(0, stock-q*se), stock + q*se
}

// q2 is what stands before the level in the line of t.
func q2(text string) string {
	_, rest, _ := strings.Cut(text, "  t = ")
	number, _, _ := strings.Cut(rest, "(")
	return "  t = " + number + "("
}

var joinedUnits = regexp.MustCompile(`^(\d+) without it, each$`)

// handSampling recomputes the variance between sampling units, with its covariance, and that of a survey's own
// conversion.
func handSampling(t *testing.T, name, text string) {
	t.Helper()
	units := printedTable(t, text, "transect")
	if len(units) == 0 {
		units = printedTable(t, text, "quadrat")
	}
	require.NotEmpty(t, units, name)
	z, c := map[string][]float64{}, map[string][]float64{}
	squares := 0.0
	for _, u := range units {
		n := 1
		for _, label := range []string{u["transect"], u["quadrat"]} {
			if m := joinedUnits.FindStringSubmatch(label); m != nil {
				n = int(parsed(t, m[1]))
			}
		}
		own := 0.0
		if u["C"] != "" {
			own = parsed(t, u["C"])
		}
		for range n {
			z[u["stratum"]], c[u["stratum"]] = append(z[u["stratum"]], parsed(t, u["Z"])), append(c[u["stratum"]], own)
			squares += own * own
		}
	}
	v := 0.0
	for h := range z {
		v += product(z[h], z[h]) + 2*product(z[h], c[h])
	}
	for _, row := range printedTable(t, text, "part of v") {
		switch row["part of v"] {
		case "sampling, between units":
			closeTo(t, name+" sampling", max(0, v), parsed(t, row["V"]), 1e-5)
		case "own conversion":
			if strings.Contains(row["is"], "sum C^2") {
				factor := blanks.ReplaceAllString(row["is"], " ")
				closeTo(t, name+" conversion", after(t, factor, " = ")*squares, parsed(t, row["V"]), 1e-5)
			}
		}
	}
}

// product is n/(n-1) Σ (a - mean a)(b - mean b).
func product(a, b []float64) float64 {
	n, ma, mb, s := float64(len(a)), 0.0, 0.0, 0.0
	for i := range a {
		ma, mb = ma+a[i]/n, mb+b[i]/n
	}
	for i := range a {
		s += (a[i] - ma) * (b[i] - mb)
	}
	return s * n / (n - 1)
}

func closeTo(t *testing.T, name string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s: got %.9g, want %.9g", name, got, want)
	}
}

// Who follows an explanation by hand, from the digits it prints, arrives at the row of stock.csv; of every bed, species
// and survey of the demo, by several rules.
func TestExplanationCanBeFollowed(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "shore")
	printed(t, "demo", dir)
	for _, rules := range []string{"", "interval = \"log-t\"\nconversion = \"linear\"\n", "conversion = \"power\"\nconfidence = 0.8\n"} {
		args := []string{"stock", dir, "-q"}
		if rules != "" {
			file := filepath.Join(t.TempDir(), "rules.toml")
			require.NoError(t, os.WriteFile(file, []byte(rules), 0o600))
			args = append(args, "--rules", file)
		}
		rows, err := csv.NewReader(strings.NewReader(printed(t, append(args, "--format", "csv")...))).ReadAll()
		require.NoError(t, err)
		explain := args
		for i, r := range rows[1:] {
			if what := r[0] + "/" + r[1]; i == 0 || what != rows[i][0]+"/"+rows[i][1] {
				explain = append(explain, "--explain", what)
			}
		}
		blocks := strings.Split(printed(t, explain...), "Result, as in stock.csv\n")
		require.Len(t, blocks, len(rows))
		for i, r := range rows[1:] {
			cell := map[string]string{}
			for j, name := range rows[0] {
				cell[name] = r[j]
			}
			result, _, _ := strings.Cut(blocks[i+1], "\n\n")
			assert.Contains(t, blocks[i], r[0]+", "+r[1]+", survey "+r[2]+" (")
			followedByHand(t, strings.Join(r[:3], " "), blocks[i], result, cell)
		}
	}
}

// followedByHand compares what was recomputed with the printed result and the row of stock.csv.
func followedByHand(t *testing.T, name, text, result string, cell map[string]string) {
	t.Helper()
	if cell["stock_kg"] == "" {
		assert.Contains(t, result, "status: not estimable: ", name)
		assert.Contains(t, result, "next time: ", name)
		return
	}
	stock, se, df, lo, hi := byHand(t, name, text)
	scale := max(stock, df)
	if !math.IsNaN(hi) {
		scale = max(scale, hi)
	}
	for _, v := range []struct {
		item string
		got  float64
	}{{"stock_kg", stock}, {"se_kg", se}, {"df", df}, {"lo_kg", lo}, {"hi_kg", hi}} {
		want := cell[v.item]
		if want == "" || stock == 0 {
			continue
		}
		assert.Contains(t, result, v.item+" = "+want, name)
		sixDigits(t, name+" "+v.item, v.got, parsed(t, want), scale)
	}
}
