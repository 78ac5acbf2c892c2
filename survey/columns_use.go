package survey

// Files that tell what was cut, what regrew and what was decided.

var harvestTable = tableSpec{
	file: "harvest.csv", title: "What left the beds",
	columns: []column{
		textColumn("bed", "Bed it left; blank, mixed or a shore: not known which.").there(),
		dateColumn("date", "Day it was cut, or first day of several.").must(),
		dateColumn("date_to", "Last day; blank: the same day."),
		textColumn("species", "Species cut; blank or mixed: not known which.").there(),
		numberColumn("wet_kg", "kg", "Wet weight; 0 is a nil return.").from(0).must().
			asking("write what was landed, and yes in estimated where it was not weighed; 0 says that nothing was cut"),
		wordColumn("origin", "Cut, or cast ashore and gathered; blank: cut.", "cut", "cast"),
		textColumn("permit", "Permit it was cut under."),
		truthColumn("estimated", "Whether the weight is an estimate."),
		textColumn("notes", "Remarks."),
	},
}

var regrowthTable = tableSpec{
	file: "regrowth.csv", title: "Plots watched while they grow back",
	key: []string{"plot", "species", "date", "event"},
	columns: []column{
		textColumn("plot", "Label of the plot.").must(),
		textColumn("species", "Species weighed.").must(),
		textColumn("bed", "Bed the plot lies in."),
		dateColumn("date", "Day of the event.").must(),
		wordColumn("event", "Cut: biomass_g was taken off. Measure: biomass_g stands.", "cut", "measure").must(),
		numberColumn("biomass_g", "g", "Wet weight in the plot.").from(0).must(),
		numberColumn("plot_m2", "m2", "Area of the plot.").above(0).must(),
	},
}

var eventsTable = tableSpec{
	file: "events.csv", title: "Storms and other losses",
	key: []string{"bed", "date", "kind"},
	columns: []column{
		textColumn("bed", "Bed concerned; * for all.").must(),
		dateColumn("date", "Day of the event.").must(),
		wordColumn("kind", "What happened. A spill closes the bed from its day, until a closure of closures.csv that begins then or later ends, or beds.csv opens it again.", "storm", "ice", "heat", "spill", "other").must(),
		numberColumn("fraction_left", "", "Fraction of the stock left afterwards; blank: not known.").above(0).to(1),
		textColumn("notes", "Remarks."),
	},
}

var closuresTable = tableSpec{
	file: "closures.csv", title: "Beds closed to cutting",
	key: []string{"bed", "species", "from"},
	columns: []column{
		textColumn("bed", "Bed closed; * for all.").must(),
		textColumn("species", "Species closed; blank: all."),
		dateColumn("from", "First day closed.").must(),
		dateColumn("to", "Last day closed; blank: until lifted."),
		textColumn("reason", "Why.").must(),
	},
}

var decisionsTable = tableSpec{
	file: "decisions.csv", title: "What was in fact granted",
	key: []string{"bed", "species", "season", "from", "permit", "decided_on", "reference"},
	columns: []column{
		textColumn("bed", "Bed the decision is for.").must(),
		textColumn("species", "Species that may be cut.").must(),
		textColumn("season", "Season the decision is for.").must(),
		dateColumn("from", "First day on which cutting is allowed.").must(),
		dateColumn("to", "Last day.").must(),
		textColumn("permit", "Permit it was granted to; blank: the bed as a whole."),
		numberColumn("kg", "kg", "Wet weight that may be cut.").from(0).must(),
		textColumn("decided_by", "Who decided."),
		dateColumn("decided_on", "Day of the decision.").must(),
		textColumn("reference", "File number."),
		textColumn("reason", "Why this amount."),
	},
}

var setAsideTable = tableSpec{
	file: "setaside.csv", title: "Rows left out, with the reason",
	columns: []column{
		textColumn("file", "File the rows are in.").must(),
		textColumn("bed", "Bed of the rows; blank: any."),
		dateColumn("date", "Date of the rows; blank: any."),
		textColumn("quadrat", "Quadrat of the rows; blank: any."),
		textColumn("species", "Species of the rows; blank: any."),
		textColumn("reason", "Why they are left out.").must(),
		textColumn("by", "Who decided."),
		dateColumn("on", "Day of the decision."),
	},
}

var permitsTable = tableSpec{
	file: "permits.csv", title: "Shares of the offtake",
	key: []string{"permit", "bed", "species"},
	columns: []column{
		textColumn("permit", "Name or number of the permit.").must(),
		textColumn("bed", "Bed it is for.").must(),
		textColumn("species", "Species it is for; blank: all."),
		numberColumn("share", "", "Fraction of the offtake of the bed.").from(0).to(1).must(),
	},
}
