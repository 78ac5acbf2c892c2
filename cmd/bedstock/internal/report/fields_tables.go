package report

import (
	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

var stockLayout = tableLayout{name: "stock", title: "Standing stock",
	about: "A row a bed, species and survey. Weights are wet, drained, without holdfast.",
	key:   []string{"bed", "species", "survey"},
	fields: []field{bedField, speciesField,
		textField("survey", "Name of the survey.").full(),
		dateField("date", "Mean day of the survey.").full(),
		numberField("cover_pct", "%", "Mean cover over the bed.").from(0).upTo(100),
		numberField("cover_se", "%", "Standard error of the cover.").from(0),
		numberField("stock_kg", "kg", "Standing stock of the bed.").from(0),
		numberField("se_kg", "kg", "Standard error of the stock.").from(0),
		numberField("lo_kg", "kg", "Lower end of the interval of the stock."),
		numberField("hi_kg", "kg", "Upper end of the interval of the stock."),
		numberField("df", "", "Degrees of freedom of the standard error.").from(0),
		countField("n_quadrats", "Quadrats visited.").full(),
		countField("n_psu", "Primary sampling units: transects, or quadrats where there are none.").full(),
		countField("n_weighed", "Quadrats in which the species was weighed.").full(),
		textField("conversion", "How cover became weight; direct: every quadrat was weighed."),
		textField("domain", "From which surveys the conversion is taken."),
		numberField("exploitable_kg", "kg", "Stock that is long enough to cut, without what is left standing of it.").from(0),
		textField("status", "Whether the stock could be estimated.").full().oneOf(string(survey.OK), string(survey.NotEstimable), string(survey.SurveyedPart)),
		textField("reason", "Why it could not, or not for the whole bed."),
		textField("warnings", "What must be known of the estimate, separated by semicolons."),
	}}

// fitStatus is the status of the growth model, then what stands behind it.
const fitStatus = `(ok|not converged|not estimable|not assessed)(: .*)?`

var growthLayout = tableLayout{name: "growth", title: "Regrowth",
	about: "A row a bed and species: rate of regrowth r and ceiling K of the logistic model, with their intervals, and what was held of them before the surveys.",
	key:   []string{"bed", "species"},
	fields: append([]field{bedField, speciesField,
		numberField("r_per_year", "1/year", "Rate of regrowth of a thin stand, median.").from(0),
		numberField("r_lo", "1/year", "Lower end of the interval of r.").from(0),
		numberField("r_hi", "1/year", "Upper end of the interval of r.").from(0),
		numberField("k_kg", "kg", "Stock of the bed when full, median.").from(0),
		numberField("k_lo", "kg", "Lower end of the interval of K.").from(0),
		numberField("k_hi", "kg", "Upper end of the interval of K.").from(0),
		numberField("rhat", "", "Largest rank-normalised split R-hat of the bed and species (Vehtari et al. 2021); at most 1.01 where the fit is used.").from(0),
		numberField("ess", "", "Least effective number of draws, of bulk and tails.").from(0),
		countField("survey_years", "Surveys that the model was given.").full(),
		countField("regrowth_plots", "Regrowth plots of the species that were used.").full(),
		textField("fit_status", "Whether the fit is used, and why not.").full().like(fitStatus),
		textField("source", "On what r and K rest."),
		numberField("r_before", "1/year", "Median of r before the surveys.").from(0),
		numberField("r_before_lo", "1/year", "Lower end of its interval.").from(0),
		numberField("r_before_hi", "1/year", "Upper end of its interval.").from(0),
		numberField("k_before_kg", "kg", "Median of K before the surveys.").from(0),
		numberField("k_before_lo", "kg", "Lower end of its interval.").from(0),
		numberField("k_before_hi", "kg", "Upper end of its interval.").from(0),
		numberField("r_sd_ratio", "", "Standard deviation of log r over that before the surveys; near 1: they say little.").from(0),
	}, speciesFields...)}

var plotsLayout = tableLayout{name: "plots", title: "Regrowth plots",
	about: "A row a regrowth plot: logistic curve by least squares on the log, with profile-likelihood intervals.",
	key:   []string{"plot", "species"},
	fields: []field{
		textField("plot", "Label of the plot.").full(), speciesField,
		textField("bed", "Label of the bed it lies on."),
		countField("n_measures", "Measures that were used.").full(),
		numberField("years", "years", "From the first measure to the last.").from(0),
		numberField("r_per_year", "1/year", "Rate of regrowth."),
		numberField("r_lo", "1/year", "Lower end of its interval."),
		numberField("r_hi", "1/year", "Upper end of its interval."),
		numberField("k_kg_m2", "kg/m2", "Ceiling of the plot.").from(0),
		numberField("k_lo", "kg/m2", "Lower end of its interval.").from(0),
		numberField("k_hi", "kg/m2", "Upper end of its interval.").from(0),
		numberField("residual_sd", "", "Standard deviation of the residuals on the log.").from(0),
		textField("status", "Whether the plot tells r and K.").full().oneOf(growth.PlotOK, growth.PlotTableCeiling, growth.PlotNot),
		textField("reason", "Why it does not."),
		textField("warnings", "What must be known of the fit, separated by semicolons."),
	}}

// quotaStatus are the states of an advice.
var quotaStatus = []string{string(model.Assessed), string(model.Closed), string(model.Resting), string(model.NotAssessed)}

var quotaLayout = tableLayout{name: "quota", title: "Advised offtake",
	about:  "A row a bed, species and season: what may be cut at most and what limits it. A bed that was never surveyed has one row without species. This is advice; the local authority, codes and licensed people decide.",
	unique: []string{"bed", "species", "season", "from"},
	fields: []field{bedField,
		textField("species", "Scientific name; empty where the bed was never surveyed."),
		textField("season", "Name of the season."),
		dateField("from", "First day of the season."),
		dateField("to", "Last day of the season."),
		numberField("advised_kg", "kg", "What may be cut in the season at most; empty: not assessed.").from(0),
		textField("limited_by", "What limits it.").full().oneOf(string(offtake.ByCap), string(offtake.ByReplacement), string(offtake.ByRisk),
			string(offtake.ByLowStock), string(offtake.ByClosed), string(offtake.ByRest), string(offtake.ByNotAssessed)),
		numberField("cap_kg", "kg a year", "Highest share of the stock that the rules allow.").from(0),
		numberField("replacement_kg", "kg a year", "Largest cut after which the stand comes to its mark by the next cut.").from(0),
		numberField("risk_kg", "kg a year", "Largest cut that keeps the risk within the rule.").from(0),
		shareField("low_stock", "Factor for low stock: 1 all is kept, 0 nothing."),
		shareField("risk", "Highest yearly probability of being below the limit, with this offtake."),
		numberField("risk_se", "", "Monte Carlo standard error of the risk.").from(0),
		shareField("risk_ever", "Probability of being below the limit at least once over the horizon."),
		shareField("fraction", "Yearly fraction of the exploitable stock that the offtake is."),
		textField("status", "Whether there is an advice.").full().oneOf(quotaStatus...),
		textField("reason", "Why there is none, or why nothing may be cut."),
		textField("warnings", "What must be known, separated by semicolons."),
		numberField("granted_kg", "kg", "What decisions.csv grants for the season; empty: no decision.").from(0),
		numberField("cut_kg", "kg", "What was cut in the season so far; empty: not known.").from(0),
		numberField("left_kg", "kg", "What is left of the advice.").from(0),
		textField("advice", "The advice of the bed and species in a sentence.").full(),
		textField("next_step", "What to do next."),
	}}

var pressureLayout = tableLayout{name: "pressure", title: "Pressure and recovery",
	about: "A row a bed, species and time between two surveys: what was cut against what grew in that time.",
	key:   []string{"bed", "species", "from", "to"},
	fields: []field{bedField, speciesField,
		dateField("from", "Day of the first survey.").full(),
		dateField("to", "Day of the next survey.").full(),
		numberField("cut_kg", "kg", "Cut between the surveys; empty: not known.").from(0),
		numberField("cast_kg", "kg", "Washed up and gathered between the surveys; no pressure on the bed.").from(0),
		numberField("recovery_kg", "kg", "What grew in that time, median."),
		numberField("recovery_lo", "kg", "Lower end of its interval."),
		numberField("recovery_hi", "kg", "Upper end of its interval."),
		shareField("p_above", "Probability that more was cut than grew."),
		numberField("ratio", "", "Cut over recovery; given where the recovery is above 0 with probability 0.975.").from(0),
		numberField("ratio_lo", "", "Lower end of its interval.").from(0),
		numberField("ratio_hi", "", "Upper end of its interval.").from(0),
		textField("verdict", "How the cut stands to the recovery, and what stands beside it.").
			like(`(above recovery|below recovery|cannot tell|no cut|not assessed)([:,] .*)?`),
		textField("reason", "Why it cannot be assessed."),
	}}

var rotationLayout = tableLayout{name: "rotation", title: "Beds cut in turn",
	about: "A row a bed that is cut in turn, with the year of its next turn.",
	key:   []string{"rotation", "bed"},
	fields: []field{
		textField("rotation", "Name of the rotation.").full(), bedField,
		countField("year", "Year of the next turn.").full(),
		countField("then_every_years", "Years from one turn to the next.").full(),
		countField("last_cut", "Year of the last cut that counts."),
		numberField("expected_kg", "kg", "What its species are expected to give together at that turn, median.").from(0),
		numberField("lo_kg", "kg", "Lower end of its interval.").from(0),
		numberField("hi_kg", "kg", "Upper end of its interval.").from(0),
		textField("note", "What must be known of the turn."),
	}}
