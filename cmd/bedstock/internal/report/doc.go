// Package report turns an assessment into the files of the output folder: the tables, the figures and report.html.
package report
