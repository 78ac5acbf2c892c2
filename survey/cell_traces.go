package survey

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// notNumber is what is said of a cell that should hold a number and does not.
const notNumber = "%q is not a number"

// traceWords stand for a cover too small to tell.
var traceWords = []string{"tr", "tr.", "trace", "traces", "t", "+", "(+)", "p", "present", "x", "xx", "*", "r", "rare", "yes", "y", "few"}

// missingWords stand for no value.
var missingWords = []string{"na", "nan", "n/a", "n.a.", "nil", "none", "null", "nd", "n/d", "inf", "-", "--", "---", "\u2013", "\u2014", "?", "??", ".", "/", "missing", "unknown"}

// letterFigures turns letters that are taken for figures into these.
var letterFigures = strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1")

// scaleLetters are letters of SACFOR.
var scaleLetters = []string{"s", "a", "c", "f", "o"}

// cellHint is what to do about a cell with a flaw: where it holds a word in place of a number, also the line for rules.toml
// that has the word read in the whole file.
func (r *rowReader) cellHint(k int, bad *flaw) string {
	c := &r.spec.columns[k]
	if bad.format != notNumber || c.kind != numberKind && c.kind != wholeKind {
		return bad.hint
	}
	s, low := fmt.Sprint(bad.args...), ""
	if low = strings.ToLower(s); c.name == "cover_pct" {
		if hint := r.traceHint(k, s, low); hint != "" {
			return hint
		}
	}
	switch v, ok := plainNumber(letterFigures.Replace(s)); {
	case ok && digits(s) != "":
		return fmt.Sprintf("did you mean %s? A letter stands there for a figure", strconv.FormatFloat(v, 'f', -1, 64))
	case '0' <= s[0] && s[0] <= '9' && c.unit != "" && bad.hint == unitHint && r.mapped == nil:
		return "write the number alone, in " + c.unit
	case !slices.Contains(missingWords, low) || isDitto(s):
		return bad.hint
	case c.filled:
		return "write the number: every row needs it"
	}
	return fmt.Sprintf("leave the cell blank where there is no value; to have it read so in the whole file: rules.toml, [read.%s]: missing = [%q]", r.spec.stem(), s)
}

// traceHint says how a cover that is a word, a bound or a range is written or read; empty where it is none.
func (r *rowReader) traceHint(k int, s, low string) string {
	if m := r.mapped; m != nil && m.cols[k].ColumnMap != nil && m.cols[k].Unit != "" {
		return "" // words are read in the unit of the file
	}
	value, what := "", ""
	if lo, hi, is := rangeOf(low); is {
		value, what = strconv.FormatFloat((lo+hi)/2, 'g', -1, 64), ", its middle"
	} else if slices.Contains(traceWords, low) {
		value, what = "0.5", " for a trace"
	}
	head := r.headOf(k)
	line := fmt.Sprintf("rules.toml, [columns.%s]: cover_pct = {from = %q, ", r.spec.stem(), head)
	switch {
	case slices.Contains(scaleLetters, low) && r.spec.file == quadratsTable.file && head != "":
		return "letters of a scale are read as classes of cover: " + line + `classes = "sacfor massive"}`
	case value == "":
		return ""
	case head == "":
		return fmt.Sprintf("write a number, such as %s%s", value, what)
	}
	return fmt.Sprintf("write a number, such as %s%s; to have it read so in the whole file: %swords = {%q = %q}}", value, what, line, s, value)
}

// rangeOf reads two covers with a dash between them, or one that a cover is less than.
func rangeOf(s string) (lo, hi float64, ok bool) {
	s = strings.NewReplacer(" ", "", "\u2013", "-", "\u2014", "-", "<=", "0-", "\u2264", "0-", "<", "0-", ",", ".").Replace(strings.TrimSuffix(s, "%"))
	a, b, _ := strings.Cut(s, "-")
	lo, ok = plainNumber(a)
	hi, whole := plainNumber(b)
	return lo, hi, ok && whole && 0 <= lo && lo < hi && hi <= 100
}

// headOf is the header above a column as it stands in the file; empty where a mapping makes the column of several.
func (r *rowReader) headOf(k int) string {
	if r.mapped == nil {
		return strings.TrimSpace(r.spelled[r.columns[k]])
	}
	if c := r.mapped.cols[k]; c.ColumnMap != nil {
		return c.From
	}
	return r.spec.columns[k].name
}
