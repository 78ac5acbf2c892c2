// Package table holds the tables that bedstock prints and writes: one set of rows, written as text for a terminal, as
// CSV or as JSON.
//
// A [Cell] is a text, a number or missing. A missing number is "-" in the text, an empty cell in the CSV and null in
// the JSON; it is never 0, NaN or Inf. Numbers are printed with the digits that their standard error allows, see
// [Estimate].
package table
