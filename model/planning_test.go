package model

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/plan"
	"bedstock/survey"
)

func TestPlanDemo(t *testing.T) {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	f, rules, err := Load(demoOf(t), table, LoadOptions{})
	require.NoError(t, err)
	p, err := PlanSurvey(f, rules, PlanOptions{Seed: 1})
	require.NoError(t, err)
	for _, b := range p.Beds {
		fmt.Println(b.Bed, b.Status, b.Reason, b.Quadrats, b.Weigh, b.Work, b.Tides, b.Warnings)
		for _, s := range b.Strata {
			fmt.Println("   ", s.Stratum, s.Area, len(s.Transects))
		}
		for _, s := range b.Species {
			fmt.Printf("    %+v\n", s)
		}
	}
	_ = plan.OK
}
