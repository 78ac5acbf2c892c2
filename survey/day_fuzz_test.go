package survey

import (
	"strings"
	"testing"
	"time"
)

// Any text as a date: what is read is a day of the calendar in the years 1000 to 9999 that is written back as it was;
// the orders in which a date can be read are those in which it is; and the day of a spreadsheet's number is a day.
func FuzzDay(f *testing.F) {
	for _, s := range []string{"", "2031-06-14", "2031-6-14", "0999-01-01", "10000-01-01", "2030-02-30", "2028-02-29", "29/2/2031", "31/12/2031", "12/31/2031",
		"5/5/2031", "5/6/31", "2031/06/14", "14.6.2031", "14.6-2031", "1/2/3/4", "45123", "45123.75", "2031-06-14T10:00", "\u0661/1/2031", "+1/1/2031", "1//2031"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		thrifty(t, len(s), func() { oneDate(t, s) })
	})
}

func oneDate(t *testing.T, s string) {
	d, err := ParseDay(s)
	if (err == nil) != (d != NoDay) || err == nil && (d.String() != s || d.Year() < 1000 || d.Year() > 9999 || DayOf(d.Time()) != d) {
		t.Errorf("%q is %s, %v", s, d, err)
	}
	day, month, year := ordersOf(s)
	for o, can := range map[dateOrder]bool{isoOrder: false, dayFirst: day, monthFirst: month, yearFirst: year} {
		d, ok := o.parse(s)
		if ok != can || ok != (d != NoDay) {
			t.Errorf("%q is %s in the order %v, %v, and can be read: %v", s, d, o, ok, can)
		}
		if ok && (d.Year() < 1000 || d.Year() > 9999 || !strings.Contains(s, d.Time().Format("2006"))) {
			t.Errorf("%q is %s", s, d)
		}
	}
	if d, ok := unsureOrder.parse(s); d != NoDay || ok && !(day || month || year) {
		if _, numbers := threeParts(s); !numbers || d != NoDay {
			t.Errorf("%q, whose order is unsure, is %s", s, d)
		}
	}
	if d, ok := serialDay(s); ok && (d < MakeDay(1954, time.January, 1) || d > MakeDay(2120, time.January, 1)) {
		t.Errorf("the day number %q is %s", s, d)
	}
}
