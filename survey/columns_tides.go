package survey

// tidesTable holds low waters from the users' own source; none is shipped.
var tidesTable = tableSpec{
	file: "tides.csv", title: "Low waters to come, from the users' own source",
	key: []string{"time"},
	columns: []column{
		momentColumn("time", "Date and time of a low water as the clock on the shore shows it, summer time where it holds: "+
			"YYYY-MM-DD HH:MM, with a blank or a T between them; no time zone.").must(),
		numberColumn("height_m", "m", "Height of the low water above chart datum, below it negative.").from(-5).to(20).must(),
	},
}
