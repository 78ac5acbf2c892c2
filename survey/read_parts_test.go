package survey

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// faultyRows are rows of a quadrats.csv with cells of all kinds, some wrong, blank lines and rows of totals among them.
func faultyRows(rng *rand.Rand, n int) string {
	pick := func(words ...string) string { return words[rng.IntN(len(words))] }
	mostly := func(usual string, odd ...string) string {
		if rng.IntN(12) > 0 {
			return usual
		}
		return pick(odd...)
	}
	var b strings.Builder
	b.WriteString("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2,observer\n")
	for i := range n {
		switch rng.IntN(25) {
		case 0:
			b.WriteString("\n")
		case 1:
			b.WriteString(",,,,,,,,,,,\r\n")
		}
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s,%s%s\n", mostly(pick("Skarn", "Brenna"), "", "Total", "Nowhere"),
			mostly(pick("2030-06-11", "2030-06-12"), "", "2031-01-01", "11.6.2030", "2030-02-30"), pick("T1", "T2", ""), fmt.Sprint(i/3),
			mostly("0.25", "", "-1", "0,25"), mostly(pick("done", ""), "planned", "seen"), pick("Fucus serratus", "fucus  serratus", "New weed", "new Weed", ""),
			mostly(fmt.Sprint(rng.IntN(101)), "", "400", "x"), pick("", "12.5"), pick("", "80", "0"), mostly("", "0.1", "9"), pick("KL", "", " MN "), mostly("", ",", ",3"))
	}
	return b.String()
}

// foundBy reads a folder in parts of so many bytes: what is in it, or what is wrong with it.
func foundBy(t require.TestingT, texts map[string]string, opt Options, partBytes int) (*Folder, Problems) {
	r := newReading(files(texts), opt)
	r.partBytes = partBytes
	require.NoError(t, r.listFiles())
	r.readTables(smallTable())
	f, err := r.finish(check)
	if err == nil {
		return f, nil
	}
	ps, ok := errors.AsType[Problems](err)
	require.True(t, ok, "%v", err)
	return r.f, ps
}

// A table read in parts gives the same folder and the same findings as one read from its first line to its last.
func TestPartsGiveWhatTheWholeGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		texts := bareFolder()
		texts["quadrats.csv"] = faultyRows(rng, rapid.IntRange(0, 60).Draw(t, "rows"))
		if rapid.Bool().Draw(t, "set aside") {
			texts["setaside.csv"] = "file,bed,quadrat,reason\nquadrats.csv,,3,torn\nquadrats.csv,Nowhere,,unknown\n"
		}
		opt := DefaultOptions()
		opt.MostAlike = rapid.IntRange(1, 4).Draw(t, "listed")
		opt.AsOf = MakeDay(2030, 12, 31)
		opt.LeaveLater = rapid.Bool().Draw(t, "leave later")
		whole, all := foundBy(t, texts, opt, 1<<30)
		parts, some := foundBy(t, texts, opt, rapid.IntRange(1, 400).Draw(t, "bytes"))
		require.Equal(t, all, some)
		require.Equal(t, fmt.Sprint(whole), fmt.Sprint(parts)) // as text: a missing number is not equal to itself
	})
}

// Lines are split as the plain way splits them, from their start or with what they repeat of the line before.
func TestSplittingLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sep := rapid.SampledFrom([]byte(",;\t")).Draw(t, "separator")
		letters := []rune{'a', 'b', rune(sep), rune(sep), '\r', 'ø', rune(sep) + 1, rune(sep) - 1}
		lines := rapid.SliceOf(rapid.StringOfN(rapid.SampledFrom(letters), 0, 40, -1)).Draw(t, "lines")
		text := strings.Join(lines, "\n")
		plain, repeating := lineSplitter{sep: sep, rest: text}, lineSplitter{sep: sep, rest: text, repeats: true}
		for i, line := range strings.Split(text, "\n") {
			if line = strings.TrimSuffix(line, "\r"); line == "" {
				continue
			}
			for _, l := range []*lineSplitter{&plain, &repeating} {
				got, err := l.next()
				require.NoError(t, err)
				require.Equal(t, strings.Split(line, string(sep)), got)
				require.Equal(t, i+1, l.at)
				require.Equal(t, line, l.text)
				require.LessOrEqual(t, l.same, len(got))
			}
		}
		for _, l := range []*lineSplitter{&plain, &repeating} {
			_, err := l.next()
			require.Equal(t, io.EOF, err)
		}
	})
}
