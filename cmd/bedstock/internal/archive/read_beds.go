package archive

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"bedstock/survey"
)

// beds makes beds.csv and beds.geojson: a row a bed, and another from each survey on before which its area was another.
func (s *seen) beds(quadrats []found) {
	var rows [][]string
	shapes := map[string]string{}
	var blank []string
	for _, g := range grouped(quadrats) {
		n := g.top
		a, se := n.valueOf(bedArea)
		share, _ := n.valueOf(suitable)
		where := slices.MaxFunc([]*node{n, g.quadrats[0].node}, func(x, y *node) int { return cmp.Compare(len(x.lat), len(y.lat)) })
		row := []string{g.bed, cmp.Or(n.locality, g.quadrats[0].locality), n.shore, zoneOf(n.habitat), a, se, share, where.lat, where.lon, ""}
		if row[1] == g.bed {
			row[1] = ""
		}
		if text := n.footprint; text != "" {
			shapes[g.bed] = text
		}
		k := slices.IndexFunc(rows, func(r []string) bool { return r[0] == g.bed })
		if k < 0 {
			rows = append(rows, row)
			if a == "" && n.footprint == "" {
				blank = append(blank, g.bed)
			}
			continue
		}
		if last := rows[len(rows)-1]; !slices.Equal(last[4:7], row[4:7]) {
			from, _ := g.days()
			row[9] = from.String()
			rows = append(rows, row)
		}
	}
	s.table("beds.csv", []string{"bed", "name", "shore", "zone", "area_m2", "area_se_m2", "suitable_fraction", "lat", "lon", "from"}, rows)
	if text := s.shapes(shapes); text != nil {
		s.Files[survey.OutlinesFile] = text
	}
	if len(blank) > 0 {
		s.unused("no area of bed %s: fill in area_m2 of beds.csv", someOf(blank))
	}
}

func zoneOf(habitat string) string {
	for zone, words := range zoneWords {
		if habitat == words {
			return zone
		}
	}
	return ""
}

// strataTable makes strata.csv of the strata whose area is told. A bed of which one is not has none: its strata are
// labels then.
func (s *seen) strataTable(quadrats []found) {
	areas := map[[2]string][2]string{}
	var bare []string
	for _, q := range quadrats {
		if q.stratum == "" {
			continue
		}
		value, se := "", ""
		if len(q.strata) == 1 {
			value, se = q.strata[0].valueOf(stratumArea)
		}
		areas[[2]string{q.bed, q.stratum}] = [2]string{value, se}
		if value == "" && !slices.Contains(bare, q.bed) {
			bare = append(bare, q.bed)
		}
	}
	s.unvisitedStrata(quadrats, areas)
	var rows [][]string
	for _, k := range slices.SortedFunc(maps.Keys(areas), func(x, y [2]string) int {
		return cmp.Or(cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1]))
	}) {
		if !slices.Contains(bare, k[0]) {
			rows = append(rows, []string{k[0], k[1], areas[k][0], areas[k][1]})
		}
	}
	if len(rows) > 0 {
		s.table("strata.csv", []string{"bed", "stratum", "area_m2", "area_se_m2"}, rows)
	}
	if len(bare) > 0 {
		s.unused("no area of the strata of bed %s: each of these beds counts as one stratum, until strata.csv has them", someOf(bare))
	}
}

// unvisitedStrata adds strata without a quadrat whose area is told.
func (s *seen) unvisitedStrata(quadrats []found, areas map[[2]string][2]string) {
	beds := map[*node]string{}
	for _, q := range quadrats {
		beds[q.top] = q.bed
	}
	for _, n := range s.order {
		if value, se := n.valueOf(stratumArea); value != "" && n.up != nil && beds[n.up] != "" {
			k := [2]string{beds[n.up], n.name()}
			if _, ok := areas[k]; !ok {
				areas[k] = [2]string{value, se}
			}
		}
	}
}

var position = regexp.MustCompile(`^\s*(-?[0-9.]+)\s+(-?[0-9.]+)\s*$`)

// shapes makes beds.geojson of outlines in well-known text; nil where there is none that can be read.
func (s *seen) shapes(shapes map[string]string) []byte {
	var features []string
	for _, bed := range sorted(shapes) {
		g, ok := geometryOf(shapes[bed])
		if !ok {
			s.unused("footprintWKT of bed %s: only POLYGON and MULTIPOLYGON are read", bed)
			continue
		}
		name, err := json.Marshal(bed)
		if err != nil {
			panic("archive: " + err.Error())
		}
		features = append(features, fmt.Sprintf(` {"type": "Feature", "properties": {"bed": %s}, "geometry": %s}`, name, g))
	}
	if features == nil {
		return nil
	}
	return []byte("{\"type\": \"FeatureCollection\", \"features\": [\n" + strings.Join(features, ",\n") + "\n]}\n")
}

// geometryOf turns well-known text into a geometry of GeoJSON.
func geometryOf(text string) (string, bool) {
	kind, rest, ok := strings.Cut(strings.TrimSpace(text), "(")
	name, known := map[string]string{"POLYGON": "Polygon", "MULTIPOLYGON": "MultiPolygon"}[strings.ToUpper(strings.TrimSpace(kind))]
	if !ok || !known {
		return "", false
	}
	var b strings.Builder
	b.WriteByte('[')
	for len(rest) > 0 {
		i := strings.IndexAny(rest, "(),")
		if i < 0 {
			break
		}
		if at := position.FindStringSubmatch(rest[:i]); at != nil {
			fmt.Fprintf(&b, "[%s,%s]", at[1], at[2])
		} else if strings.TrimSpace(rest[:i]) != "" {
			return "", false
		}
		b.WriteByte(map[byte]byte{'(': '[', ')': ']', ',': ','}[rest[i]])
		rest = rest[i+1:]
	}
	out := fmt.Sprintf(`{"type": "%s", "coordinates": %s}`, name, b.String())
	return out, json.Valid([]byte(out))
}
