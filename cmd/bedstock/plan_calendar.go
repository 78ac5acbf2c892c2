package main

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// calendarFile writes the days as iCalendar text: an event an outing, from being on the shore to the time to leave by.
// Times have no zone, so that every program shows them as they are in tides.csv.
//
// References:
//   - Desruisseaux, B. (ed.): Internet Calendaring and Scheduling Core Object Specification (iCalendar). RFC 5545 (2009)
func calendarFile(l model.Laid, asOf survey.Day, invented bool) []byte {
	var b strings.Builder
	line := func(name, value string) { b.WriteString(foldedLine(name + ":" + value)) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//bedstock//bedstock "+version+"//EN")
	for _, o := range l.Outings {
		start, leave, _ := l.Hours(o)
		about := outingWords(o)
		title := "Survey: " + markedWords(l, o)
		if invented {
			title = "INVENTED DATA. " + title
		}
		line("BEGIN", "VEVENT")
		line("UID", fmt.Sprintf("%x@bedstock", sha256.Sum256(fmt.Appendf(nil, "%d %d %s", o.Day, o.Minute, about)))[32:])
		line("DTSTAMP", asOf.Time().Format("20060102T150405Z"))
		line("DTSTART", floating(o.Day, start))
		line("DTEND", floating(o.Day, leave))
		line("SUMMARY", escaped(title))
		var closed strings.Builder
		for _, p := range o.Parts {
			if reason := l.ClosedOn(p.Bed, survey.Day(o.Day)); reason != "" {
				fmt.Fprintf(&closed, "\n%s is closed to cutting: %s. Clipping is a removal too: ask first.", p.Bed, reason)
			}
		}
		line("DESCRIPTION", escaped(fmt.Sprintf("Low water %s, %s. On the shore from %s, leave by %s, finished or not.\nThe local tide table and the weather decide. Never alone; tell someone ashore.",
			survey.Clock(o.Minute), metres(o.Height), clockOf(start), clockOf(leave))+closed.String()))
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	return []byte(b.String())
}

// outingWords names the beds of an outing.
func outingWords(o plan.Outing) string {
	return wordsOf(o, func(plan.Part) string { return "" })
}

// markedWords names them, those with a mark that are closed to cutting on the day.
func markedWords(l model.Laid, o plan.Outing) string {
	return wordsOf(o, func(p plan.Part) string {
		if l.ClosedOn(p.Bed, survey.Day(o.Day)) != "" {
			return " [closed]"
		}
		return ""
	})
}

func wordsOf(o plan.Outing, mark func(plan.Part) string) string {
	var beds []string
	for _, p := range o.Parts {
		beds = append(beds, p.Bed+partOf(p)+mark(p))
	}
	return strings.Join(beds, ", ")
}

// floating is a time without a zone.
func floating(day, minute int) string {
	return survey.Day(day).Time().Add(time.Duration(minute) * time.Minute).Format("20060102T150405")
}

// escaped is a text as the value of a property.
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r", "", "\n", `\n`).Replace(s)
}

// longestLine is how many bytes a line has at most without its end.
const longestLine = 75

// foldedLine cuts a line into pieces of at most [longestLine] bytes, between characters; a piece but the first begins with a
// blank.
func foldedLine(s string) string {
	var b strings.Builder
	room := longestLine
	for _, r := range s {
		if n := utf8.RuneLen(r); n > room {
			b.WriteString("\r\n ")
			room = longestLine - 1 - n
		} else {
			room -= n
		}
		b.WriteRune(r)
	}
	return b.String() + "\r\n"
}
