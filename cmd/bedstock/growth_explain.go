package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
)

// explain shows how r, K and the stocks of some stands came about.
func (c growthCmd) explain(a *model.Assessment, pairs []model.Pair) screen {
	v := screen{hint: fmt.Sprintf("bedstock quota %s --explain shows the way on to the offtake, bedstock stock %[1]s --explain the one to a survey's stock", typed(c.Survey))}
	v.steps(a, pairs, "How r, K and the stocks came about", report.GrowthStepsOf, []string{
		"found: what a survey estimates by itself; stock: what is held after all surveys, cuts and the species' other beds are taken together"})
	return v
}
