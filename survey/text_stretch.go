package survey

import (
	"strings"
	"sync/atomic"
	"unicode/utf8"
)

// stretchBytes is about how much of a long text is looked through at a time.
const stretchBytes = 1 << 20

// stretches cuts a text into stretches of so many bytes and the rest of their last line.
func stretches(text string, bytes int) []string {
	out := make([]string, 0, len(text)/bytes+1)
	for text != "" {
		end := min(bytes, len(text))
		if n := strings.IndexByte(text[end-1:], '\n'); n >= 0 {
			end += n
		} else {
			end = len(text)
		}
		out = append(out, text[:end])
		text = text[end:]
	}
	return out
}

// everywhere says whether something holds of all stretches of a text, which are looked through side by side.
func everywhere(text string, holds func(stretch string) bool) bool {
	var not atomic.Bool
	all := stretches(text, stretchBytes)
	inParallel(len(all), func(i int) {
		if !not.Load() && !holds(all[i]) {
			not.Store(true)
		}
	})
	return !not.Load()
}

// validText is [utf8.ValidString]: no letter goes on over the end of a line.
func validText(text string) bool { return everywhere(text, utf8.ValidString) }

// hasByte says whether a byte is anywhere in a text.
func hasByte(text string, b byte) bool {
	return !everywhere(text, func(s string) bool { return strings.IndexByte(s, b) < 0 })
}

// countLines counts the ends of lines in a text.
func countLines(text string) int {
	var n atomic.Int64
	everywhere(text, func(s string) bool { n.Add(int64(strings.Count(s, "\n"))); return true })
	return int(n.Load())
}
