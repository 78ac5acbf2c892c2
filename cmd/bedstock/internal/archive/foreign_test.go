package archive

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// tableXML describes a table of an archive for tests: row type and terms, the id in the first column.
func tableXML(as, row, file, how string, terms ...string) string {
	var b strings.Builder
	key := map[string]string{"core": "id", "extension": "coreid"}[as]
	fmt.Fprintf(&b, `<%s rowType="%s" %s><files><location>%s</location></files><%s index="0"/>`, as, row, how, file, key)
	for i, t := range terms {
		fmt.Fprintf(&b, `<field index="%d" term="%s"/>`, i+1, t)
	}
	fmt.Fprintf(&b, "</%s>", as)
	return b.String()
}

func metaOf(tables ...string) []byte {
	return []byte(`<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">` + strings.Join(tables, "") + `</archive>`)
}

const quotedCSV = `fieldsTerminatedBy="," fieldsEnclosedBy="&quot;" linesTerminatedBy="\n" ignoreHeaderLines="1" encoding="UTF-8"`

// shoreArchive is like the macroalgae example of the OBIS manual (site, zone, quadrat without types; facts by concept), with
// values made up.
func shoreArchive() files {
	return files{
		"meta.xml": metaOf(
			tableXML("core", eventRow, "event.csv", quotedCSV, dwc+"parentEventID", dwc+"eventDate", dwc+"locality", dwc+"decimalLatitude", dwc+"decimalLongitude", dwc+"sampleSizeValue", dwc+"sampleSizeUnit", dwc+"eventRemarks", dwc+"waterBody"),
			tableXML("extension", occurrenceRow, "occ.csv", quotedCSV, dwc+"occurrenceID", dwc+"scientificName", dwc+"scientificNameID", dwc+"occurrenceStatus"),
			tableXML("extension", measurementRow, "emof.csv", quotedCSV, dwc+"occurrenceID", dwc+"measurementType", dwc+"measurementValue", dwc+"measurementUnit", obis+"measurementTypeID", obis+"measurementUnitID"),
			tableXML("extension", dwc+"Identification", "who.csv", quotedCSV, dwc+"identifiedBy")),
		"eml.xml": []byte("<eml/>"),
		"who.csv": []byte("id,identifiedBy\nq1,X\n"),
		"event.csv": []byte("id,parent,date,locality,lat,lon,size,unit,remarks,water\n" +
			"s,,,\"Point, west\",50.5,-30.5,,,seen,A Sea\nz,s,,,,,,,,\n" +
			"q1,z,2021-06-01T10:00Z,,,,0.25,square metre,,\nq2,z,2021-06-02/2021-06-03,,,,2500,cm2,,\nq3,z,2022-07-01,,,,0.25,m²,,\nq4,z,June 2022,,,,0.25,m2,,\nspare,,2021-06-01,,,,,,,\n"),
		"occ.csv": []byte("id,oid,name,nameid,status\n" +
			"q1,o1,\"Fucus serratus Linnaeus, 1753\",urn:lsid:marinespecies.org:taxname:145546,present\n" +
			"q1,o2,Palmaria palmata,,absent\n" +
			"q2,o3,Fucus serratus,,Present\n" +
			"q3,o4,Fucus serratus,,present\n" +
			"q3,o5,=Odd weed,urn:lsid:marinespecies.org:taxname:999,present\n" +
			"q3,o6,Palmaria palmata,,present\n" +
			"gone,o7,Palmaria palmata,,present\n"),
		"emof.csv": []byte("id,oid,type,value,unit,typeID,unitID\n" +
			"q1,o1,coverage,35,%,http://vocab.nerc.ac.uk/collection/P01/current/SDBIOL10/,\n" +
			"q1,o1,biomass,1200,,http://vocab.nerc.ac.uk/collection/P01/current/SDBIOL05/,http://vocab.nerc.ac.uk/collection/P06/current/UGMS/\n" +
			"q1,o1,biomass,150,g/m2,http://vocab.nerc.ac.uk/collection/P01/current/SDBIOL03/,\n" +
			"q2,o3,Percent cover,20,percent,,\nq2,o3,wet weight,0.3125,kg,,\nq2,o3,frond length,300,mm,,\nq2,o3,dry weight,50,g,,\n" +
			"q3,o4,percent cover,10,%,,\nq3,o4,percent cover,12,%,,\nq3,o5,percent cover,<1,%,,\nq3,o6,wet weight,7,stone,,\n" +
			"q3,o99,percent cover,10,%,,\n"),
		"notes.txt": []byte("x"),
	}
}

// An archive that others made is read as far as it goes; how it was understood and what could not be used is said.
func TestForeignArchive(t *testing.T) {
	r, err := understand(shoreArchive(), speciesTable(t))
	require.NoError(t, err)
	assert.False(t, r.Own)
	assert.Equal(t, `bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2
"Point, west",2021-06-01,,z,q1,0.25,done,Fucus serratus,35,,300,
"Point, west",2021-06-02,,z,q2,0.25,done,Fucus serratus,20,30,312.5,
"Point, west",2022-07-01,,z,q3,0.25,done,Fucus serratus,10,,,
"Point, west",2022-07-01,,z,q3,0.25,done,'=Odd weed,,,,
"Point, west",2022-07-01,,z,q3,0.25,done,Palmaria palmata,,,,
`, string(r.Files["quadrats.csv"]))
	assert.Equal(t, `bed,survey,from,to,species_sought,low_water_m,protocol,notes
"Point, west",2021,2021-06-01,2021-06-02,Fucus serratus;Palmaria palmata,,,seen
"Point, west",2022,2022-07-01,2022-07-01,'=Odd weed;Fucus serratus;Palmaria palmata,,,seen
`, string(r.Files["surveys.csv"]))
	assert.Equal(t, "bed,name,shore,zone,area_m2,area_se_m2,suitable_fraction,lat,lon,from\n\"Point, west\",,,,,,,50.5,-30.5,\n", string(r.Files["beds.csv"]))
	assert.Equal(t, "species,aphia_id\n'=Odd weed,999\n", string(r.Files["species.csv"]))
	assert.Equal(t, []string{
		"taken as survey: events of type (none given)",
		"taken as transect: events of type (none given)",
		"taken as quadrat: events of type (none given)",
		"species that the table does not have: =Odd weed; they get a stock, and an offtake once species.csv has r and K",
		"species named as in the table: Fucus serratus Linnaeus, 1753 as Fucus serratus",
	}, r.Taken)
	assert.Equal(t, []string{
		"file notes.txt: meta.xml does not name it",
		"occ.csv: 1 row of an event that is not in the archive, or without a name",
		"emof.csv: 1 row of an event or occurrence that is not in the archive",
		"who.csv: rows of http://rs.tdwg.org/dwc/terms/Identification",
		"event.csv: waterBody in 1 row",
		"1 event without occurrences, an area or events below them",
		"1 event without an eventDate that begins with a day",
		"no area of bed Point, west: fill in area_m2 of beds.csv",
		"1 measurement of biomass g/m2",
		"1 measurement of dry weight g",
		"1 measurement of percent cover %, measured again",
		"1 measurement of percent cover %, no number or in a unit that is not known",
		"1 measurement of wet weight stone",
		"2 occurrences without cover or weight: their cells in quadrats.csv are blank, and check asks for them",
	}, r.Unused)
	_, err = survey.Read(asFS(r), speciesTable(t), survey.DefaultOptions())
	var problems survey.Problems
	require.ErrorAs(t, err, &problems)
	assert.Len(t, problems.Faults(), 3, "two blank cells and the area: nothing is made up for them: %v", problems.Faults())
}

// An archive of single occurrences is read where they name the event they were seen in.
func TestOccurrenceCore(t *testing.T) {
	tab := `fieldsTerminatedBy="\t" fieldsEnclosedBy="" ignoreHeaderLines="0" encoding="ISO-8859-1"`
	all := files{
		"meta.xml": metaOf(
			tableXML("core", occurrenceRow, "o.txt", tab, dwc+"eventID", dwc+"eventDate", dwc+"locationID", dwc+"scientificName", dwc+"organismQuantity", dwc+"organismQuantityType", dwc+"sampleSizeValue", dwc+"sampleSizeUnit"),
			tableXML("extension", plainFactRow, "m.txt", tab, dwc+"measurementType", dwc+"measurementValue", dwc+"measurementUnit")),
		"o.txt": []byte("a\tQ1\t2020-05-05\tB\xf6r\tFucus serratus\t30\t% cover\t1\tm2\nb\tQ1\t2020-05-05\tB\xf6r\tUlva\t5\t% cover\t1\tm2\nc\t\t2020-05-05\tB\tUlva\t5\t% cover\t1\tm2\n"),
		"m.txt": []byte("a\twet weight\t800\tgrams\n"),
	}
	r, err := understand(all, speciesTable(t))
	require.NoError(t, err)
	assert.Equal(t, `bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,weighed_m2
Bör,2020-05-05,,,Q1,1,done,Fucus serratus,30,,800,
Bör,2020-05-05,,,Q1,1,done,Ulva,5,,,
`, string(r.Files["quadrats.csv"]))
	assert.Contains(t, strings.Join(r.Taken, "\n"), "the archive holds no absences")
	assert.Contains(t, strings.Join(r.Unused, "\n"), "1 event without an id, or with the id of an earlier one: o.txt:3")
}

// What cannot be read at all is said in one sentence, with its place.
func TestUnreadableArchives(t *testing.T) {
	change := func(name, old, to string) files {
		f := shoreArchive()
		f[name] = []byte(strings.ReplaceAll(string(f[name]), old, to))
		return f
	}
	for want, f := range map[string]files{
		"holds neither meta.xml, as a Darwin Core archive does, nor the datapackage.json of a survey folder": {"a.txt": nil},
		"meta.xml: EOF":                                                                       {"meta.xml": nil},
		"meta.xml names no file of the core":                                                  {"meta.xml": []byte(`<archive xmlns="http://rs.tdwg.org/dwc/text/"/>`)},
		"meta.xml names gone.csv, which is not in the archive":                                change("meta.xml", "occ.csv", "gone.csv"),
		"occ.csv:3: has 3 cells, meta.xml maps 5":                                             change("occ.csv", "q1,o2,Palmaria palmata,,absent", "q1,o2,Palmaria palmata"),
		`event.csv: the encoding "UTF-16" is not read, only UTF-8 and ISO 8859-1`:             change("meta.xml", `encoding="UTF-8"><files><location>event.csv`, `encoding="UTF-16"><files><location>event.csv`),
		`event.csv: ignoreHeaderLines is "one", not a number`:                                 change("meta.xml", `ignoreHeaderLines="1"`, `ignoreHeaderLines="one"`),
		"event.csv is not UTF-8 text as meta.xml says":                                        change("event.csv", "A Sea", "A S\xe9a"),
		"holds no occurrences: nothing says what grew where":                                  change("meta.xml", occurrenceRow, "http://x/Other"),
		"has rows of http://x/Other as its core; a survey is read from events or occurrences": change("meta.xml", eventRow, "http://x/Other"),
		"meta.xml: http://rs.tdwg.org/dwc/terms/eventDate stands in column -1":                change("meta.xml", `index="2" term="`+dwc+`eventDate`, `index="-1" term="`+dwc+`eventDate`),
		"is a Data Package without beds.csv and quadrats.csv: not one of a survey folder":     {"datapackage.json": []byte("{}")},
	} {
		_, err := understand(f, speciesTable(t))
		assert.EqualError(t, err, want)
	}
}

// Events that lie in one another in a circle are left out, not followed for ever.
func TestCircles(t *testing.T) {
	f := shoreArchive()
	f["event.csv"] = []byte(strings.Replace(string(f["event.csv"]), "s,,,", "s,z,,", 1))
	r, err := understand(f, speciesTable(t))
	require.NoError(t, err)
	assert.Contains(t, strings.Join(r.Unused, "\n"), "4 events that lie in one another in a circle")
}
