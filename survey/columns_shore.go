package survey

import "slices"

// Files that describe the shore and what was seen on it.

var bedsTable = tableSpec{
	file: "beds.csv", title: "Beds of the shore; several rows a bed hold each from its date",
	key:    []string{"bed", "from"},
	needed: true,
	columns: []column{
		textColumn("bed", "Name of the bed, the same in every file.").must(),
		textColumn("name", "Long name of the bed."),
		textColumn("shore", "Shore or management area the bed belongs to."),
		wordColumn("zone", "Height on the shore.", "lower", "mid", "upper"),
		numberColumn("area_m2", "m2", "Area of the bed; blank: that of its outline in beds.geojson.").above(0).there(),
		numberColumn("area_se_m2", "m2", "Standard error of the area; where strata have one, theirs counts.").from(0),
		numberColumn("suitable_fraction", "", "Fraction of the area where the species can grow.").above(0).to(1),
		numberColumn("lat", "degrees", "Latitude of a point in the bed, WGS 84.").from(-90).to(90),
		numberColumn("lon", "degrees", "Longitude of a point in the bed, WGS 84.").from(-180).to(180),
		wordColumn("status", "Whether the bed is open to cutting; blank: open.", "open", "closed"),
		textColumn("reason", "Why the bed has this status."),
		dateColumn("from", "Day from which this row holds; blank: always."),
	},
}

var strataTable = tableSpec{
	file: "strata.csv", title: "Strata of the beds",
	key:    []string{"bed", "stratum"},
	needed: true,
	columns: []column{
		textColumn("bed", "Bed the stratum is part of.").must(),
		textColumn("stratum", "Name of the stratum within its bed.").must(),
		numberColumn("area_m2", "m2", "Area of the stratum; the strata of a bed add up to the bed; blank: that of its outline in beds.geojson.").above(0).there(),
		numberColumn("area_se_m2", "m2", "Standard error of the area.").from(0),
	},
}

var surveysTable = tableSpec{
	file: "surveys.csv", title: "Surveys: who looked for what, and when",
	key: []string{"bed", "survey"},
	columns: []column{
		textColumn("bed", "Bed that was surveyed.").must(),
		textColumn("survey", "Name of the survey.").must(),
		dateColumn("from", "First day of the survey.").must(),
		dateColumn("to", "Last day of the survey.").must(),
		listColumn("species_sought", "Species looked for, separated by semicolons; blank: all of the folder."),
		textColumn("people", "Who took part."),
		numberColumn("low_water_m", "m", "Height of low water above chart datum."),
		textColumn("protocol", "How it was done; the word permanent where quadrats or transects stay, control for beds never cut."),
		textColumn("notes", "Remarks."),
	},
}

var quadratsTable = tableSpec{
	file: "quadrats.csv", title: "Quadrats: one row a quadrat and species",
	key:    []string{"bed", "date", "stratum", "transect", "quadrat", "species"},
	needed: true,
	columns: []column{
		textColumn("bed", "Bed the quadrat lies in.").must(),
		dateColumn("date", "Day of the visit; blank only while the visit is planned.").there(),
		textColumn("stratum", "Stratum the quadrat lies in."),
		textColumn("transect", "Transect the quadrat lies on."),
		textColumn("quadrat", "Label of the quadrat.").must(),
		numberColumn("quadrat_m2", "m2", "Area of the quadrat.").above(0).there(),
		wordColumn("visit", "What became of the quadrat; blank: done.", visitWords...),
		textColumn("species", "Species of the row; blank with cover 0 in the only row of an empty quadrat.").there(),
		numberColumn("cover_pct", "percent", "Cover of the species.").from(0).to(100).there(),
		numberColumn("frond_cm", "cm", "Mean frond length of the species in the quadrat.").above(0),
		numberColumn("biomass_g", "g", "Wet weight in the quadrat, or in weighed_m2 of it; blank: not weighed.").from(0),
		numberColumn("weighed_m2", "m2", "Area clipped and weighed; blank: the whole quadrat.").above(0),
		textColumn("observer", "Who read the quadrat."),
		textColumn("notes", "Remarks."),
	},
}

// readingsTable is what a second observer read in quadrats that quadrats.csv holds: the same columns.
var readingsTable = tableSpec{
	file: "readings.csv", title: "Quadrats read once more by another observer, to compare the observers: columns as in quadrats.csv",
	key:     append(slices.Clone(quadratsTable.key), "observer"),
	columns: observed(quadratsTable.columns),
}

// observed are the columns of quadrats.csv with the observer needed in every row.
func observed(columns []column) []column {
	out := slices.Clone(columns)
	out[qObserver] = textColumn("observer", "Who read the quadrat this time.").must()
	return out
}

// visitWords are the words of the column visit in the order of [Visit].
var visitWords = []string{Done: "done", Planned: "planned", NotReached: "not_reached", Unsampleable: "unsampleable"}

var frondsTable = tableSpec{
	file: "fronds.csv", title: "Measured fronds: one row a frond",
	columns: []column{
		textColumn("bed", "Bed the frond grew on.").must(),
		dateColumn("date", "Day it was measured.").must(),
		textColumn("stratum", "Stratum of its quadrat."),
		textColumn("transect", "Transect of its quadrat."),
		textColumn("quadrat", "Label of its quadrat.").must(),
		textColumn("species", "Species of the frond.").must(),
		numberColumn("frond_cm", "cm", "Length of the frond.").above(0).must(),
		numberColumn("wet_g", "g", "Wet weight of the frond; blank: not weighed.").above(0),
		textColumn("stage", "Stage of life, as recruit, adult, fertile."),
	},
}

var speciesTable = tableSpec{
	file: "species.csv", title: "Species: what is known of each before any survey",
	key: []string{"species"},
	columns: []column{
		textColumn("species", "Scientific name.").must(),
		textColumn("common_name", "Name in common use."),
		textColumn("measured", "What frond_cm measures: strap, blade, frond, plant."),
		wordColumn("life", "Length of life.", "annual", "biennial", "perennial"),
		numberColumn("r_per_year", "per year", "Growth rate, net of ordinary winter loss.").above(0),
		numberColumn("r_cv", "", "Coefficient of variation of r_per_year.").above(0),
		numberColumn("k_kg_m2", "kg/m2", "Most that stands on occupied rock, wet.").above(0),
		numberColumn("k_cv", "", "Coefficient of variation of k_kg_m2.").above(0),
		numberColumn("peak_month", "month", "Time of fastest growth: 1 is the start of January, 6.5 the middle of June.").from(1).to(13),
		numberColumn("amplitude", "", "Swing of the growth rate over the year.").from(0).to(1),
		numberColumn("season_ratio", "", "Stock at the start of a season over the surveyed stock.").above(0),
		numberColumn("max_frond_cm", "cm", "Longest frond to be expected.").above(0),
		numberColumn("min_length_cm", "cm", "Shortest frond that may be cut.").from(0),
		numberColumn("leave_cm", "cm", "Length left standing of a cut frond.").from(0),
		numberColumn("recruit_cm", "cm", "Fronds shorter than this are recruits.").from(0),
		numberColumn("max_fraction", "", "Highest fraction of the exploitable stock that may be cut in a year.").from(0).to(1),
		numberColumn("cover_a_kg_m2", "kg/m2", "a in kg/m2 = a * cover_pct^b.").above(0),
		numberColumn("cover_b", "", "b in kg/m2 = a * cover_pct^b; blank: 1.").above(0),
		numberColumn("cover_cv", "", "Coefficient of variation of this conversion.").from(0),
		textColumn("group", "Layer or group the species shares its space with."),
		wholeColumn("aphia_id", "Number of the species in the World Register of Marine Species.").from(1),
		textColumn("confidence", "How far r and k can be trusted: B one field number, C indirect, D guess within bounds."),
		textColumn("source", "Where the values come from."),
	},
}
