package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model"
)

// A risk has the same digits in the table of quota and in the words of the report.
func TestRiskOfTableAndReportAgree(t *testing.T) {
	for i := range 4001 {
		risk := float64(i) / 4000
		words := strings.NewReplacer("under ", "<", "over ", ">", " %", "").Replace(model.RiskWords(risk))
		assert.Equal(t, words, riskCell(risk).String(), "%g", risk)
	}
}
