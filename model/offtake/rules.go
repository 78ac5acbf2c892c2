package offtake

// Rules are the choices of the people responsible; see rules.toml.
type Rules struct {
	Horizon                int     // years looked ahead
	LimitOfK               float64 // the stock must stay above this share of K
	TriggerOfK             float64 // below this share of K the advice is reduced, zero at the limit
	Risk                   float64 // highest yearly probability of being below the limit
	MaxFraction            float64 // of the exploitable stock
	StockQuantile          float64 // of the stock, for the cap
	ReplacementProbability float64
	RebuildYears           float64
	WeakFraction           float64 // cap for a species that the data hardly inform
	WeakSpread             float64 // ratio of the spread of log r after and before the data above which they have said little
	WeakRamp               float64 // width below WeakSpread over which the weak cap comes in; 0: at once
	RestYears              int     // a species rests on a bed so many years after it was cut there
	StormChance            float64 // per year
	StormSurvival          float64 // fraction of the stock that a storm leaves
	Level                  float64 // of the intervals of what is expected
}

// DefaultRules are the values used where rules.toml is silent. Sources: limit and trigger 0.4 and 0.8 of the stock for
// most yield (DFO Research Document 2021/057), that is 0.2 and 0.4 of K under logistic growth; risk 5 % a year (ICES
// 2022, special request advice); a third: common practice, no source; the 20 % quantile: minimum-estimate practice
// (Wade 1998).
func DefaultRules() Rules {
	return Rules{Horizon: 10, LimitOfK: 0.2, TriggerOfK: 0.4, Risk: 0.05, MaxFraction: 0.33, StockQuantile: 0.2,
		ReplacementProbability: 0.5, RebuildYears: 10, WeakFraction: 0.15, WeakSpread: 0.7, WeakRamp: 0.1, StormChance: 0.1, StormSurvival: 0.7,
		Level: 0.95}
}

// Stand is one species on one bed at the moment of the advice, as joint draws.
type Stand struct {
	R, K, B, Sigma []float64 // growth rate per year, ceiling kg, stock kg, process noise per root year
	Exploitable    float64   // share of the stock that may be cut by length, 0-1
	SurveyCV       float64   // CV that this bed's surveys have; later years' takes follow later surveys
	SurveyQ        float64   // kg, the stock_quantile of the survey itself, which that of the draws may not exceed; 0: none
	MaxFraction    float64   // the species' own cap; 0: none
	LogRShrink     float64   // sd of log r over that of the species table; above weak_spread: hardly informed
	ESS            float64   // effective number of the draws; 0: they are independent
	Annual         bool      // life annual: next year's stock does not follow from what is left
	Seed           uint64
	Stream         string // names the random stream; stands of one stream meet the same years, whose noise and storms are drawn once
}

// Limit names what limits an advice.
type Limit string

const (
	ByCap         Limit = "cap"
	ByReplacement Limit = "replacement"
	ByRisk        Limit = "risk"
	ByLowStock    Limit = "low stock"
	ByCutBefore   Limit = "cut before" // of a season: earlier ones took more than their part
	ByOldSurvey   Limit = "old survey" // of a year projected from an old survey: never above what that advised when it was new
	ByClosed      Limit = "closed"
	ByRest        Limit = "rest"
	ByNotAssessed Limit = "not assessed"
)

// Advice is the year's offtake for one bed and species. A kg field that could not be had is NaN.
type Advice struct {
	AdvisedKg     float64 // rounded down to the digits its SE allows
	LimitedBy     Limit
	CapKg         float64
	CapFraction   float64 // fraction behind CapKg
	Weakness      float64 // how far the cap for little known species holds, 0 to 1
	ReplacementKg float64
	RiskKg        float64
	RiskFraction  float64 // largest yearly fraction within the risk
	LowStock      float64 // factor, 0-1
	ExploitableQ  float64 // kg, the quantile of the exploitable stock behind CapKg and RiskKg; see [Cap]
	Risk, RiskSE  float64 // at the advised take: highest yearly probability below the limit, Monte Carlo SE
	RiskEver      float64 // probability of being below at least once within the horizon
	RiskNow       float64 // probability of standing below the limit already, before any cut
	Fraction      float64 // AdvisedKg over the median stock
	Digits        int     // significant digits that the Monte Carlo error allows AdvisedKg
	NextMedian    float64 // median stock a year on, after the advised take, kg
	NextLo        float64 // its interval
	NextHi        float64
	YieldPerYear  float64 // kg a year over the horizon, median
	Warnings      []string
}
