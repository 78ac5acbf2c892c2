package survey

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Stretches of a text are all of it, each of whole lines, and what is found in them is what is found in the whole.
func TestStretchesOfAText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.SampledFrom([]string{"a", "\n", "\xc3\xa9", "\xff", "\xc3", "\x00", "\""})).Draw(t, "text"), "")
		bytes := rapid.IntRange(1, 20).Draw(t, "bytes")
		all := stretches(text, bytes)
		require.Equal(t, text, strings.Join(all, ""))
		for i, s := range all {
			require.True(t, i == len(all)-1 || len(s) >= bytes && strings.HasSuffix(s, "\n") && !strings.Contains(s[bytes-1:len(s)-1], "\n"))
		}
		valid := true
		for _, s := range all {
			valid = valid && utf8.ValidString(s)
		}
		require.Equal(t, utf8.ValidString(text), valid)
	})
	long := strings.Repeat("a line\n", stretchBytes/2)
	for _, end := range []string{"", "\xc3\xa9", "\xff", "\x00", `"`, "\n"} {
		text := long + end
		assert.Equal(t, utf8.ValidString(text), validText(text), "%q", end)
		assert.Equal(t, strings.Count(text, "\n"), countLines(text), "%q", end)
		assert.Equal(t, strings.Contains(text, "\x00"), hasByte(text, 0), "%q", end)
		assert.Equal(t, strings.Contains(text, `"`), hasByte(text, '"'), "%q", end)
	}
}
