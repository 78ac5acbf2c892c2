package model

import (
	"fmt"
	"net/mail"
	"regexp"
	"slices"
	"strings"
)

// Dataset says what the survey is called and who answers for it, for those it is handed on to: the table [dataset] of
// rules.toml. No number depends on it.
type Dataset struct {
	ID       string   // begins every id of an archive; stays the same for ever
	Title    string   // names the data set
	Abstract string   // says what it holds
	Creators []string // people or organisations
	Contact  string   // name of the person or office
	Mail     string   // address of the contact; may be empty
	Licence  Licence
	Language string // ISO 639, as "en"
}

// Licence says what others may do with the data.
type Licence struct{ Name, URL string }

// licences are those that the global registers of biodiversity data take.
var licences = []Licence{
	{"CC0 1.0", "http://creativecommons.org/publicdomain/zero/1.0/legalcode"},
	{"CC BY 4.0", "http://creativecommons.org/licenses/by/4.0/legalcode"},
	{"CC BY-NC 4.0", "http://creativecommons.org/licenses/by-nc/4.0/legalcode"},
}

// DatasetLines are the lines of rules.toml that name a data set, to be filled in.
const DatasetLines = `[dataset]
id       = "short-name"       # begins every id: letters, digits and hyphens; never change it
title    = "Seaweed beds of ..., surveyed since ..."
abstract = "Which shore, which beds and species, why and how it is surveyed."
creator  = ["Office or person who made the survey"]
contact  = "Office or person to ask <mail@example.org>"
licence  = "CC BY 4.0"        # CC0 1.0, CC BY 4.0 or CC BY-NC 4.0
language = "en"               # ISO 639 code of the language of the texts
`

const datasetHint = "bedstock export prints the lines of [dataset] that are wanted"

var (
	shortName    = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9.-]*$`)
	languageCode = regexp.MustCompile(`^[a-z]{2,3}$`)
)

// readDataset reads the table [dataset].
func (in *rulesInput) readDataset(value any) {
	values, ok := value.(map[string]any)
	places := in.lists["dataset"]
	if !ok || len(places) == 0 {
		in.fault(in.places["dataset"], datasetHint, "dataset must be a table: write [dataset]")
		return
	}
	var d Dataset
	before := len(in.problems)
	in.fill("dataset", datasetHint, placed{values, places[0]},
		[]string{"id", "title", "abstract", "creator", "contact", "licence", "language"}, d.set)
	if len(in.problems) == before {
		in.rules.Dataset = &d
	}
}

// set checks and stores one key.
func (d *Dataset) set(key string, value any) (err error) {
	switch key {
	case "id":
		d.ID, err = asCode(value, shortName, "letters, digits, dots and hyphens")
	case "title":
		d.Title, err = asName(value)
	case "abstract":
		d.Abstract, err = asName(value)
	case "creator":
		d.Creators, err = asNames(value)
	case "contact":
		err = d.setContact(value)
	case "licence":
		d.Licence, err = asLicence(value)
	case "language":
		d.Language, err = asCode(value, languageCode, `an ISO 639 code as "en" or "eng"`)
	default:
		err = fmt.Errorf("unknown key")
	}
	return err
}

// setContact takes a name, or a name with a mail address in angle brackets.
func (d *Dataset) setContact(value any) error {
	text, err := asName(value)
	if err != nil {
		return err
	}
	d.Contact, d.Mail = text, ""
	name, rest, found := strings.Cut(text, "<")
	if !found {
		return nil
	}
	address, err := mail.ParseAddress("<" + rest)
	if err != nil {
		return fmt.Errorf("%q holds no mail address as in \"Shore office <office@example.org>\"", text)
	}
	d.Contact, d.Mail = strings.TrimSpace(name), address.Address
	if d.Contact == "" {
		return fmt.Errorf("%q names nobody before the mail address", text)
	}
	return nil
}

func asCode(value any, form *regexp.Regexp, is string) (string, error) {
	text, err := asName(value)
	if err == nil && !form.MatchString(text) {
		err = fmt.Errorf("%q is not %s", text, is)
	}
	return text, err
}

func asLicence(value any) (Licence, error) {
	text, err := asName(value)
	if err != nil {
		return Licence{}, err
	}
	i := slices.IndexFunc(licences, func(l Licence) bool { return sameName(l.Name, text) || l.URL == text })
	if i < 0 {
		return Licence{}, fmt.Errorf("%q is none of CC0 1.0, CC BY 4.0, CC BY-NC 4.0", text)
	}
	return licences[i], nil
}
