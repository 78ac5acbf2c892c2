package archive

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// Outlines of strata go along in the folder's own tables, with the blank areas that they stand for; a coarse archive has
// the areas and no outline. The stocks are the same.
func TestOutlinesOfStrata(t *testing.T) {
	const strata = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"bed": "b 1", "stratum": "low"}, "geometry": {"type": "Polygon", "coordinates": [[[-30.2, 50.1], [-30.1996, 50.1], [-30.1996, 50.10012], [-30.2, 50.10012], [-30.2, 50.1]]]}},
{"type": "Feature", "properties": {"bed": "b 1", "stratum": "high"}, "geometry": {"type": "Polygon", "coordinates": [[[-30.2, 50.10012], [-30.1996, 50.10012], [-30.1996, 50.1003], [-30.2, 50.1003], [-30.2, 50.10012]]]}}]}`
	texts := with(small(), "beds.geojson", strata)
	texts["strata.csv"] = "bed,stratum,area_m2,area_se_m2\nb 1,low,,10\nb 1,high,,\n"
	texts["beds.csv"] = strings.Replace(texts["beds.csv"], "lower,1000,50", "lower,955.4,50", 1)
	f, rules := load(t, folderOf(texts))
	require.Greater(t, f.Strata[0].Area, 300.0)
	stocks := fmt.Sprintf("%#v", survey.Stocks(f, rules.Survey))
	for _, coarse := range []bool{false, true} {
		opt := plainOptions()
		opt.Coarse = coarse
		_, zipped := pack(t, folderOf(texts), opt)
		r := open(t, zipped)
		g, _ := load(t, asFS(r))
		assert.Equal(t, stocks, fmt.Sprintf("%#v", survey.Stocks(g, rules.Survey)), "coarse %t", coarse)
		if coarse {
			assert.NotContains(t, r.Files, "beds.geojson")
			continue
		}
		assert.Equal(t, f.StratumOutlines["b 1"]["high"].Polygons, g.StratumOutlines["b 1"]["high"].Polygons)
		assert.True(t, g.Strata[0].AreaOutlined)
	}
}
