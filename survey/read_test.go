package survey

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// files makes a folder of texts.
func files(texts map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range texts {
		out[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return out
}

// smallFolder is a folder without a mistake that holds every table.
func smallFolder() map[string]string {
	return map[string]string{
		"beds.csv": "bed,name,shore,zone,area_m2,area_se_m2,suitable_fraction,lat,lon,status,reason,from\n" +
			"Skarn,Skarn ledge,North,lower,1200,60,0.8,55.1,-7.2,,,\n" +
			"Anvik,,North,mid,800,,,,,closed,outfall,2030-01-01\n" +
			"Anvik,,North,mid,900,,,,,open,,2029-01-01\n",
		"strata.csv": "bed,stratum,area_m2,area_se_m2\nSkarn,low,700,\nSkarn,high,500,20\n",
		"surveys.csv": "bed,survey,from,to,species_sought,people,low_water_m,protocol,notes\n" +
			"Skarn,S30,2030-06-01,2030-06-03,fucus serratus; Palmaria palmata ,two,-0.2,permanent,calm\n",
		"quadrats.csv": "bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2,observer,notes\n" +
			"Skarn,2030-06-01,low,T1,1,0.25,done,Fucus  serratus,60,32.5,812,0.0625,KL,\n" +
			"Skarn,2030-06-01,low,T1,1,0.25,,Palmaria palmata,5,,,,KL,\"kept, in a bag\"\n" +
			"Skarn,2030-06-01,low,T1,2,0.25,done,,0,,,,KL,\n" +
			"Skarn,2030-06-03,high,T2,1,0.25,not_reached,,,,,,,\n" +
			"Skarn,2030-09-01,high,T2,2,,planned,,,,,,,\n",
		"fronds.csv": "bed,date,stratum,transect,quadrat,species,frond_cm,wet_g,stage\n" +
			"Skarn,2030-06-01,low,T1,1,FUCUS SERRATUS,31,12.5,adult\n",
		"harvest.csv": "bed,date,date_to,species,wet_kg,origin,permit,estimated,notes\n" +
			"Skarn,2030-05-01,2030-05-03,Fucus serratus,120,,P1,yes,\n" +
			"Skarn,2030-05-09,,Fucus serratus,0,cast,,,\n",
		"regrowth.csv": "plot,species,bed,date,event,biomass_g,plot_m2\nA,Fucus serratus,Skarn,2029-06-01,cut,900,0.25\n" +
			"A,Fucus serratus,Skarn,2030-06-01,measure,500,0.25\n",
		"events.csv":   "bed,date,kind,fraction_left,notes\n*,2029-12-20,storm,0.7,\n",
		"closures.csv": "bed,species,from,to,reason\n*,,2031-01-01,,spill drill\n",
		"decisions.csv": "bed,species,season,from,to,permit,kg,decided_by,decided_on,reference,reason\n" +
			"Skarn,Fucus serratus,spring,2030-03-15,2030-06-30,P1,150,board,2030-02-01,7/30,as advised\n",
		"species.csv":  "species,r_per_year,source\nfucus SERRATUS,0.9,own plots\nOsmundea minor,,\n",
		"setaside.csv": "file,bed,date,quadrat,species,reason,by,on\nquadrats.csv,Skarn,,9,,label lost,KL,2030-06-05\n",
		"permits.csv":  "permit,bed,species,share\nP1,Skarn,,0.5\nP2,Skarn,Fucus serratus,0.5\n",
		"tides.csv":    "time,height_m\n2031-03-21 13:05,0.5\n2031-04-01T1:45,-0.25\n",
		"rules.toml":   "",
	}
}

// smallTable stands for the embedded species table.
func smallTable() []Species {
	return []Species{{Name: "Fucus serratus", Life: "perennial", R: Some(1), RCV: Some(0.5), InTable: true,
		From: map[string]string{"r_per_year": "table", "r_cv": "table", "life": "table"}}}
}

func TestReadWholeFolder(t *testing.T) {
	f, err := Read(files(smallFolder()), smallTable(), DefaultOptions())
	require.NoError(t, err)

	require.Len(t, f.Beds, 2)
	assert.Equal(t, "Anvik", f.Beds[0].ID)
	assert.Equal(t, []float64{900, 800}, []float64{f.Beds[0].Periods[0].Area, f.Beds[0].Periods[1].Area})
	assert.Equal(t, BedPeriod{Name: "Skarn ledge", Shore: "North", Zone: "lower", Area: 1200, AreaSE: Some(60),
		Suitable: Some(0.8), Lat: Some(55.1), Lon: Some(-7.2), Status: "open", From: NoDay, Line: 2}, f.Beds[1].Periods[0])
	assert.Equal(t, []Stratum{{Bed: "Skarn", Stratum: "low", Area: 700, Line: 2},
		{Bed: "Skarn", Stratum: "high", Area: 500, AreaSE: Some(20), Line: 3}}, f.Strata)
	assert.Equal(t, []Declared{{Bed: "Skarn", Survey: "S30", From: day("2030-06-01"), To: day("2030-06-03"),
		Sought: []string{"Fucus serratus", "Palmaria palmata"}, People: "two", LowWater: Some(-0.2),
		Protocol: "permanent", Notes: "calm", Line: 2}}, f.Surveys)
	assert.True(t, f.CutsKnown)
	assert.Equal(t, []Cut{{Bed: "Skarn", Species: "Fucus serratus", From: day("2030-05-01"), To: day("2030-05-03"), Kg: 120,
		Permit: "P1", Estimated: true, Line: 2},
		{Bed: "Skarn", Species: "Fucus serratus", From: day("2030-05-09"), To: day("2030-05-09"), Cast: true, Line: 3}}, f.Cuts)
	assert.Equal(t, []PlotRow{{Plot: "A", Species: "Fucus serratus", Bed: "Skarn", Day: day("2029-06-01"), Cut: true,
		Biomass: 900, M2: 0.25, Line: 2},
		{Plot: "A", Species: "Fucus serratus", Bed: "Skarn", Day: day("2030-06-01"), Biomass: 500, M2: 0.25, Line: 3}}, f.Regrowth)
	assert.Equal(t, []Event{{Bed: "*", Day: day("2029-12-20"), Kind: "storm", Left: Some(0.7), Line: 2}}, f.Events)
	assert.Equal(t, []Closure{{Bed: "*", From: day("2031-01-01"), To: NoDay, Reason: "spill drill", Line: 2}}, f.Closures)
	assert.Equal(t, []Decision{{Bed: "Skarn", Species: "Fucus serratus", Season: "spring", Permit: "P1",
		From: day("2030-03-15"), To: day("2030-06-30"), Kg: 150, DecidedBy: "board", DecidedOn: day("2030-02-01"),
		Reference: "7/30", Reason: "as advised", Line: 2}}, f.Decisions)
	assert.Equal(t, []Permit{{Permit: "P1", Bed: "Skarn", Share: 0.5, Line: 2},
		{Permit: "P2", Bed: "Skarn", Species: "Fucus serratus", Share: 0.5, Line: 3}}, f.Permits)
	assert.Equal(t, day("2030-06-03"), f.AsOf)
}

func TestReadColumnarTables(t *testing.T) {
	f, err := Read(files(smallFolder()), smallTable(), DefaultOptions())
	require.NoError(t, err)

	q := &f.Quadrats
	require.Equal(t, 5, q.Len())
	assert.Equal(t, "", f.Names[0])
	assert.IsIncreasing(t, f.Names)
	name := func(ids []uint32) (out []string) {
		for _, id := range ids {
			out = append(out, f.Names[id])
		}
		return out
	}
	assert.Equal(t, []string{"Fucus serratus", "Palmaria palmata", "", "", ""}, name(q.Species))
	assert.Equal(t, []string{"low", "low", "low", "high", "high"}, name(q.Stratum))
	assert.Equal(t, []string{"T1", "T1", "T1", "T2", "T2"}, name(q.Transect))
	assert.Equal(t, []string{"1", "1", "2", "1", "2"}, name(q.Quadrat))
	assert.Equal(t, []string{"KL", "KL", "KL", "", ""}, name(q.Observer))
	assert.Equal(t, []Visit{Done, Done, Done, NotReached, Planned}, q.Visit)
	assert.Equal(t, []int32{2, 3, 4, 5, 6}, q.Line)
	nan := math.NaN()
	for i, want := range [][5]float64{{0.25, 60, 32.5, 812, 0.0625}, {0.25, 5, nan, nan, nan}, {0.25, 0, nan, nan, nan},
		{0.25, nan, nan, nan, nan}, {nan, nan, nan, nan, nan}} {
		for k, got := range []float64{q.M2[i], q.Cover[i], q.Frond[i], q.Biomass[i], q.Weighed[i]} {
			approx(t, fmt.Sprint("row ", i, " number ", k), got, want[k], 0, 0)
		}
	}
	require.Equal(t, 1, f.Fronds.Len())
	assert.Equal(t, []string{"Fucus serratus"}, name(f.Fronds.Species))
	assert.Equal(t, []string{"adult"}, name(f.Fronds.Stage))
	assert.Equal(t, []float64{31}, f.Fronds.Length)
	assert.Equal(t, []float64{12.5}, f.Fronds.Wet)
}

// Without a file its list is empty; an absent harvest.csv is not a harvest of nothing.
func TestReadLeastFolder(t *testing.T) {
	f, err := Read(files(map[string]string{
		"beds.csv":     "bed,area_m2\nA,10\n",
		"quadrats.csv": "quadrat,bed,date,quadrat_m2,cover_pct,species\n1,A,2030-01-02,1,3,Ulva\n",
	}), nil, DefaultOptions())
	require.NoError(t, err)
	assert.False(t, f.CutsKnown)
	assert.Nil(t, f.Cuts)
	assert.Empty(t, f.Species, "an unknown species has no row")
	assert.Empty(t, f.Doubts.Faults())
	assert.Equal(t, day("2030-01-02"), f.AsOf)
}

func TestReadNotesInputs(t *testing.T) {
	texts := smallFolder()
	texts["beds.csv"] = "\ufeff" + strings.ReplaceAll(texts["beds.csv"], "\n", "\r\n")
	f, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	assert.Len(t, f.Inputs, 14, "rules.toml is not read here")
	assert.True(t, slices.IsSortedFunc(f.Inputs, func(a, b Input) int { return strings.Compare(a.Path, b.Path) }))
	sum := sha256.Sum256([]byte(texts["beds.csv"]))
	assert.Equal(t, Input{"beds.csv", hex.EncodeToString(sum[:])}, f.Inputs[0])
}

func TestReadPassesErrorsOn(t *testing.T) {
	fsys := files(smallFolder())
	_, err := Read(failing{fsys, "harvest.csv"}, nil, DefaultOptions())
	require.ErrorIs(t, err, fs.ErrPermission)
	assert.NotErrorAs(t, err, new(Problems))
	assert.ErrorContains(t, err, "harvest.csv")

	dir := t.TempDir()
	require.NoError(t, os.WriteFile(dir+"/file", nil, 0o600))
	_, err = Read(os.DirFS(dir+"/file"), nil, DefaultOptions())
	require.Error(t, err)
	assert.NotErrorAs(t, err, new(Problems))
	_, err = Read(os.DirFS(dir+"/none"), nil, DefaultOptions())
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// failing refuses to open one file.
type failing struct {
	fstest.MapFS
	name string
}

func (f failing) Open(name string) (fs.File, error) {
	if name == f.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return f.MapFS.Open(name)
}

func day(s string) Day {
	d, err := ParseDay(s)
	if err != nil {
		panic(err)
	}
	return d
}

// Every word of a row of totals has an ending that is looked for.
func TestEndsAsTotal(t *testing.T) {
	for _, w := range totalWords {
		for _, s := range []string{w, strings.ToUpper(w), w + ":"} {
			assert.True(t, totalWord(s), s)
			assert.True(t, endsAsTotal(s[len(s)-2], s[len(s)-1]), s)
		}
	}
	assert.False(t, endsAsTotal('u', 's'))
}
