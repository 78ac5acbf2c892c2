package survey

import (
	"slices"
	"strings"
)

// groupWords are words for seaweeds of several species, or one of them that nobody names.
var groupWords = []string{"kelp", "wrack", "weed", "seaweed", "alga", "algae", "macroalga", "macroalgae", "fucoid", "tangle", "rockweed", "species", "sp.", "spp."}

// noSeaweedWords are words for a quadrat without seaweed, or what else stands there.
var noSeaweedWords = []string{"none", "nothing", "nil", "empty", "bare", "bare rock", "rock", "bedrock", "boulder", "boulders", "sand", "gravel", "mud",
	"barnacles", "mussels", "limpets", "na", "n/a", "no species", "no weed", "no seaweed"}

// noSeaweed says whether a cell names no species.
func noSeaweed(name string) bool { return slices.Contains(noSeaweedWords, foldSpecies(name)) }

// mixture says whether the name of a species may stand for several of them, as kelp, mixed wrack and seaweeds.
func mixture(name string) bool {
	words := strings.Fields(foldSpecies(name))
	if len(words) == 0 {
		return false
	}
	last := words[len(words)-1]
	return strings.HasPrefix(words[0], "mix") || slices.Contains(groupWords, last) || slices.Contains(groupWords, strings.TrimSuffix(last, "s")) ||
		strings.ContainsAny(name, "+&/")
}

// mixtureToo asks besides what a hint says whether landed weed without a row in the species table was a mixture.
func mixtureToo(file, name, hint string) string {
	if file != harvestTable.file || !mixture(name) {
		return hint
	}
	return strings.TrimSuffix(hint, ".") + ". A mixture? Write mixed"
}
