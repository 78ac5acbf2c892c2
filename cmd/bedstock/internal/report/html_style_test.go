package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// contrast is the contrast ratio of two colours written #rrggbb.
//
// References:
//   - W3C: Web Content Accessibility Guidelines 2.2 (2023), definitions of contrast ratio and relative luminance
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	require.Regexp(t, `^#[0-9a-f]{6}$`, colour)
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// palettes reads the custom properties of the light and of the dark page.
func palettes(t *testing.T) (light, dark map[string]string) {
	t.Helper()
	blocks := regexp.MustCompile(`:root \{([^}]*)\}`).FindAllStringSubmatch(style, -1)
	require.Len(t, blocks, 2)
	out := make([]map[string]string, 2)
	for i, b := range blocks {
		out[i] = map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(b[1], -1) {
			out[i][m[1]] = m[2]
		}
	}
	return out[0], out[1]
}

func TestContrast(t *testing.T) {
	// 21 is the ratio of black on white; 4.48 that of #777777 on white: WCAG's own example of what just fails 4.5.
	assert.InDelta(t, 21, contrast(t, "#000000", "#ffffff"), 1e-9)
	assert.InDelta(t, 4.48, contrast(t, "#777777", "#ffffff"), 0.005)
	light, dark := palettes(t)
	require.Len(t, dark, len(light))
	pairs := [][2]string{{"ink", "ground"}, {"muted", "ground"}, {"link", "ground"}, {"ink", "panel"}, {"muted", "panel"}, {"link", "panel"},
		{"ink", "mark"}, {"muted", "mark"}, {"above", "above-ground"}, {"over", "over-ground"}, {"low", "low-ground"}, {"unknown", "unknown-ground"},
		{"closed", "closed-ground"}, {"open", "open-ground"}, {"invented", "invented-ground"}}
	for name, palette := range map[string]map[string]string{"light": light, "dark": dark} {
		for _, p := range pairs {
			assert.GreaterOrEqual(t, contrast(t, palette[p[0]], palette[p[1]]), 4.5, "%s: %s on %s", name, p[0], p[1])
		}
	}
	for name := range light {
		if name != "rule" { // a line between rows, no text
			assert.True(t, strings.Contains(name, "ground") || listedIn(pairs, name), "%s has no pair", name)
		}
	}
}

func listedIn(pairs [][2]string, name string) bool {
	for _, p := range pairs {
		if p[0] == name || p[1] == name {
			return true
		}
	}
	return false
}

// Every colour of a rule is one of the palette, so that none escapes the check; figures are ink on white in both.
func TestNoColourOutsideThePalettes(t *testing.T) {
	rest := regexp.MustCompile(`(?s):root \{[^}]*\}`).ReplaceAllString(style, "")
	assert.Equal(t, []string{"#ffffff"}, regexp.MustCompile(`#[0-9a-f]{3,8}\b`).FindAllString(rest, -1))
}

// Each state has words, a mark and a border of its own: colour is never all that tells two apart.
func TestStatesAreToldApartWithoutColour(t *testing.T) {
	words, marks, borders := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for s := stateAbove; s <= stateOpen; s++ {
		b := s.badge()
		assert.NotEmpty(t, b.Words)
		assert.False(t, words[b.Words] || marks[b.Mark], b.Words)
		words[b.Words], marks[b.Mark] = true, true
		rule := regexp.MustCompile(`\.badge\.` + b.Class + ` \{[^}]*?(border[^}]*)\}`).FindStringSubmatch(style)
		require.NotNil(t, rule, b.Class)
		borders[rule[1]] = true
	}
	assert.Len(t, borders, 6, "closed and resting share one")
}
