package survey

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The committed descriptors are what go generate writes.
func TestDescriptorsAreCommitted(t *testing.T) {
	dir := "../data/schema"
	want := Descriptors()
	for name, text := range want {
		got, err := os.ReadFile(filepath.Join(dir, name+".json"))
		require.NoError(t, err)
		assert.Equal(t, string(text), string(got), "run go generate ./survey")
	}
	files, err := filepath.Glob(dir + "/*.json")
	require.NoError(t, err)
	assert.Len(t, files, len(want))
}

// What a descriptor allows and refuses is what the reader allows and refuses: the limits are tried on the cells.
func TestDescriptorsAgreeWithCells(t *testing.T) {
	for name, text := range Descriptors() {
		var d descriptor
		require.NoError(t, json.Unmarshal(text, &d))
		spec := tableOf(name + ".csv")
		require.Len(t, d.Fields, len(spec.columns))
		for i, f := range d.Fields {
			c := &spec.columns[i]
			limits := f.Constraints
			if limits == nil {
				limits = &constraints{}
			}
			assert.Equal(t, limits.Required, c.blank() != nil, "%s.%s blank", name, f.Name)
			tryNumber := func(v *float64, add float64, good bool) {
				if v == nil {
					return
				}
				text, err := json.Marshal(*v + add)
				require.NoError(t, err)
				_, bad := c.number(string(text))
				assert.Equal(t, good, bad == nil, "%s.%s %s", name, f.Name, text)
			}
			tryNumber(limits.Minimum, 0, true)
			tryNumber(limits.Minimum, -1, false)
			tryNumber(limits.ExclusiveMinimum, 0, false)
			tryNumber(limits.ExclusiveMinimum, 0.5, true)
			tryNumber(limits.Maximum, 0, true)
			tryNumber(limits.Maximum, 0.5, false)
			for _, w := range limits.Enum {
				k, bad := c.word(w)
				assert.Nil(t, bad)
				assert.Equal(t, w, c.words[k])
			}
			if f.Type == "integer" {
				_, bad := c.number("2.5")
				assert.NotNil(t, bad)
			}
		}
		for _, k := range slices.Concat(append(d.UniqueKeys, d.PrimaryKey)...) {
			assert.NotNil(t, spec.find(k), "%s: key %s", name, k)
		}
	}
}

// The places of columns used in reading are those of the descriptions.
func TestColumnPlaces(t *testing.T) {
	for _, c := range []struct {
		spec  *tableSpec
		place int
		name  string
	}{
		{&quadratsTable, qBed, "bed"}, {&quadratsTable, qDate, "date"}, {&quadratsTable, qStratum, "stratum"},
		{&quadratsTable, qTransect, "transect"}, {&quadratsTable, qQuadrat, "quadrat"}, {&quadratsTable, qM2, "quadrat_m2"},
		{&quadratsTable, qVisit, "visit"}, {&quadratsTable, qSpecies, "species"}, {&quadratsTable, qCover, "cover_pct"},
		{&quadratsTable, qFrond, "frond_cm"}, {&quadratsTable, qBiomass, "biomass_g"},
		{&quadratsTable, qWeighed, "weighed_m2"}, {&quadratsTable, qObserver, "observer"},
		{&frondsTable, fBed, "bed"}, {&frondsTable, fDate, "date"}, {&frondsTable, fStratum, "stratum"},
		{&frondsTable, fTransect, "transect"}, {&frondsTable, fQuadrat, "quadrat"}, {&frondsTable, fSpecies, "species"},
		{&frondsTable, fLength, "frond_cm"}, {&frondsTable, fWet, "wet_g"}, {&frondsTable, fStage, "stage"},
	} {
		assert.Equal(t, c.name, c.spec.columns[c.place].name)
	}
}
