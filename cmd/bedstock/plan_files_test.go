package main

import (
	"encoding/json"
	"encoding/xml"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/plan"
)

// A bed with one located transect, and one of which only shares are known.
func drawnPlan() plan.Plan {
	nan := math.NaN()
	at := func(lon, lat float64) plan.Point {
		return plan.Point{Lon: lon, Lat: lat, Along: 3.14159, AlongShare: 0.123456}
	}
	nowhere := plan.Point{Lon: nan, Lat: nan, Along: nan, Up: nan, AlongShare: 0.5, UpShare: 0.25}
	return plan.Plan{Beds: []plan.Bed{
		{Bed: "a & b", Strata: []plan.Stratum{{Transects: []plan.Transect{{Transect: "T1", From: at(-30, 50), To: at(-30, 50.001),
			Quadrats: []plan.Quadrat{{Quadrat: "T1Q1", Weigh: true, At: at(-30, 50.0005)}, {Quadrat: "T1Q2", At: at(-30, 50.00000001)}}}}}}},
		{Bed: "c", Strata: []plan.Stratum{{Stratum: "low", Transects: []plan.Transect{{Transect: "T1", From: nowhere, To: nowhere,
			Quadrats: []plan.Quadrat{{Quadrat: "T1Q1", Stratum: "low", At: nowhere}}}}}}},
	}}
}

// GPX 1.1 wants wpt before rte, lat and lon as plain decimals and the namespace of the schema.
func TestPlanGPX(t *testing.T) {
	text, err := planGPX(drawnPlan(), true)
	require.NoError(t, err)
	var doc gpx
	require.NoError(t, xml.Unmarshal(text, &doc))
	assert.Equal(t, "http://www.topografix.com/GPX/1/1", doc.XMLName.Space)
	assert.Equal(t, "1.1", doc.Version)
	assert.Contains(t, doc.Desc, "INVENTED DATA")
	require.Len(t, doc.Points, 4)
	assert.Equal(t, "a & b T1 begin", doc.Points[0].Name)
	assert.Equal(t, "clip and weigh", doc.Points[1].Desc)
	assert.Equal(t, "50.00000001", doc.Points[2].Lat)
	require.Len(t, doc.Routes, 1)
	assert.Len(t, doc.Routes[0].Points, 2)
	assert.Less(t, strings.LastIndex(string(text), "<wpt"), strings.Index(string(text), "<rte"))
}

func TestPlanGeoJSON(t *testing.T) {
	text, err := planGeoJSON(drawnPlan(), false)
	require.NoError(t, err)
	var doc struct {
		Type     string
		Features []struct {
			Type     string
			Geometry struct {
				Type        string
				Coordinates any
			}
			Properties map[string]any
		}
	}
	require.NoError(t, json.Unmarshal(text, &doc))
	assert.Equal(t, "FeatureCollection", doc.Type)
	require.Len(t, doc.Features, 3)
	assert.Equal(t, "LineString", doc.Features[0].Geometry.Type)
	assert.Equal(t, []any{-30.0, 50.0005}, doc.Features[1].Geometry.Coordinates, "longitude first")
	assert.Equal(t, true, doc.Features[1].Properties["weigh"])
}

// What is not known is blank, never 0.
func TestPlaceTable(t *testing.T) {
	lines := strings.Split(string(csvOf(placeTable(drawnPlan()))), "\n")
	assert.Equal(t, "a & b,,T1,T1Q1,quadrat,yes,-30,50.0005,3.14,0,12.35,0", strings.TrimSuffix(lines[2], "\r"))
	assert.Equal(t, "c,low,T1,T1Q1,quadrat,no,,,,,50,25", strings.TrimSuffix(lines[6], "\r"))
}
