// Package plan lays out the next survey of a shore: how many transects each stratum gets, how many quadrats stand on a
// transect and how many of them are weighed, so that a target of precision is met in the least time or the time at hand
// gives the best precision; and where on the ground they lie. It takes numbers and returns structs.
package plan
