package plots_test

import (
	"fmt"
	"math"

	"bedstock/plots"
)

func ExampleRecovery() {
	f := plots.Recovery(plots.RecoveryInput{
		Bed: "Kittle Ledge", Species: "sugar kelp", Level: 0.9, Draws: 4000, Invented: true,
		Stock:  []float64{0, 2400, 4800, 7200, 9600},
		Median: []float64{0, 1600, 1800, 1100, 0},
		Lo:     []float64{0, 1200, 1400, 800, 0},
		Hi:     []float64{0, 2000, 2300, 1400, 0},
		Cuts:   []plots.CutPoint{{Year: "2024", Stock: 5600, Kg: 800, Verdict: "below recovery"}},
		Limit:  1920, Trigger: 3840,
		AdviceStock: 6100, AdviceKg: 1150, AdviceOK: true,
	})
	fmt.Println(f.Alt)
	// Output:
	// Kittle Ledge, sugar kelp. Recovery within a year is largest, 1 800 kg (90 % interval 1 400 kg to 2 300 kg), at a standing stock of 4 800 kg. Limit 1 920 kg. Trigger 3 840 kg. 2024: cut 800 kg at a stock of 5 600 kg, below recovery. This year's advice 1 150 kg at a stock of 6 100 kg. INVENTED DATA.
}

func ExamplePressure() {
	f := plots.Pressure(plots.PressureInput{Level: 0.95, Rows: []plots.PressureRow{
		{Label: "Whelk Bay, sugar kelp", Period: "2023 to 2024", Reason: "one survey only"},
		{Label: "Kittle Ledge, sugar kelp", Period: "2023 to 2024", Ratio: 1.74, Lo: 1.12, Hi: 3.1, OK: true, Verdict: "above recovery"},
	}})
	fmt.Println(f.Caption)
	// Output:
	// What was cut over what grew back in the same time, from most to least pressure: point and 95 % interval (1 of 2 rows can be told). Right of the line at 1 more was cut than grew back. The shape says what can be concluded. Period: 2023 to 2024.
}

func ExampleHistory() {
	f := plots.History(plots.HistoryInput{
		Bed: "Kittle Ledge", Species: "sugar kelp", Level: 0.95, Limit: math.NaN(), CutsKnown: true,
		Surveys: []plots.SurveyPoint{
			{T: 2023.4, Note: "nothing weighed"},
			{T: 2024.4, Kg: 5600, Lo: 4300, Hi: 7000, OK: true},
		},
		Cuts: []plots.YearBar{{Year: 2023, Cut: 0}, {Year: 2024, Cut: 1300, Cast: 600}},
	})
	fmt.Println(f.Alt)
	// Output:
	// Kittle Ledge, sugar kelp. May 2023: no estimate, nothing weighed. May 2024: stock 5 600 kg, 95 % interval 4 300 kg to 7 000 kg. 2023: cut 0 kg. 2024: cut 1 300 kg, cast weed 600 kg.
}
