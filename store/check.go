package store

import (
	"encoding/json"
	"fmt"
	"mime"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// refused is an error of what was given.
func refused(place, remedy, format string, args ...any) error {
	return &Error{Kind: Refused, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// Check says what of a new job cannot be kept.
func (j *NewJob) Check() error {
	if j.ID != "" {
		if err := j.ID.Check(); err != nil {
			return err
		}
	}
	if j.First.Title == "" {
		return refused("title", "Give the job a name", "a job without a title is not found again")
	}
	return j.First.Check()
}

// Check says whether an id is one.
func (id ID) Check() error {
	if id.Valid() {
		return nil
	}
	return refused("job", "Take the id from the list of jobs", "%s is no id of a job: it has 32 digits 0-9 a-f", quoted(string(id)))
}

// Check says what of a new state cannot be kept.
func (s *NewState) Check() error {
	if err := s.Mark.Check(); err != nil {
		return err
	}
	if s.Title == "" && s.Site != "" {
		return refused("title", "Give the title beside the site, or neither", "it is empty, and the site is not")
	}
	if err := text("title", s.Title); err != nil {
		return err
	}
	if err := text("site", s.Site); err != nil {
		return err
	}
	if err := document("document", s.Document); err != nil {
		return err
	}
	if len(s.Change) == 0 {
		return nil
	}
	return document("change", s.Change)
}

// Check says what of a mark cannot be kept.
func (m *Mark) Check() error {
	if !stateID(m.ID) {
		return refused("id", "Make one for each state and keep it for asking again",
			"%s is no id of a state: it has 1 to %d letters A-Z a-z 0-9 . _ -", quoted(m.ID), MostStateID)
	}
	if err := moment(m.When); err != nil {
		return err
	}
	if m.Who == "" {
		return refused("who", `Name the device, or "this computer"`, "nobody is named")
	}
	if err := text("who", m.Who); err != nil {
		return err
	}
	return text("what", m.What)
}

// Check says what of an order for a copy cannot be done.
func (o *CopyOrder) Check() error {
	// It is a new job but for its document, which is kept already.
	return (&NewJob{ID: o.ID, First: NewState{Mark: o.Mark, Title: o.Title, Document: []byte("{}")}}).Check()
}

// Check says what of a retirement cannot be kept.
func (r *Retirement) Check() error {
	if err := moment(r.When); err != nil {
		return err
	}
	if r.Who == "" {
		return refused("who", `Name the device, or "this computer"`, "nobody is named")
	}
	return text("who", r.Who)
}

// Check says what of a file cannot be kept.
func (f *NewFile) Check() error {
	if len(f.Bytes) > MostFileBytes {
		return &Error{Kind: TooLarge, Place: "file " + quoted(f.Name), Found: "it is larger than 32 MB",
			Remedy: "Save it smaller: a photo of 4000 by 3000 points is enough"}
	}
	return (&File{Name: f.Name, MediaType: f.MediaType, When: f.When, Who: f.Who}).Check()
}

// Check says what of a file's name, kind and mark cannot be kept.
func (f *File) Check() error {
	if err := fileName(f.Name); err != nil {
		return err
	}
	kind, more, err := mime.ParseMediaType(f.MediaType)
	if err != nil || len(more) > 0 || kind != f.MediaType || !strings.Contains(kind, "/") || len(kind) > MostText {
		return refused("media type", `Give type and subtype in small letters, as "image/jpeg"`, "%s is none", quoted(f.MediaType))
	}
	return (&Retirement{When: f.When, Who: f.Who}).Check()
}

// Check says what of a question for jobs cannot be answered.
func (a *Ask) Check() error {
	if a.Page < 0 || a.Size < 0 || a.Size > MostPage {
		return refused("page", "", "page %d of %d jobs: pages count from 0 and hold 1 to %d", a.Page, a.Size, MostPage)
	}
	return text("text", a.Text)
}

// document says what is wrong with a text that is to be JSON.
func document(place string, raw []byte) error {
	switch {
	case len(raw) > MostDocumentBytes:
		return &Error{Kind: TooLarge, Place: place, Found: "it is larger than 4 MB",
			Remedy: "Keep photos and drawings as files of the job, not in the document"}
	case !json.Valid(raw):
		return refused(place, "", "it is not JSON")
	}
	return nil
}

// text says what is wrong with a line of text.
func text(place, s string) error {
	if !utf8.ValidString(s) {
		return refused(place, "Send it as UTF-8", "its letters cannot be read")
	}
	if n := utf8.RuneCountInString(s); n > MostText {
		return &Error{Kind: TooLarge, Place: place, Found: fmt.Sprintf("it has %d letters", n),
			Remedy: fmt.Sprintf("Shorten it to %d", MostText)}
	}
	if strings.ContainsFunc(s, unicode.IsControl) {
		return refused(place, "Write it on one line", "it holds a control letter")
	}
	return nil
}

// moment says what is wrong with a time.
func moment(t time.Time) error {
	if y := t.UTC().Year(); y < 1970 || y > 9999 {
		return refused("when", "Set the clock of the device", "the year %d is not kept: 1970 to 9999 are", y)
	}
	return nil
}

// fileName says what is wrong with a file's name.
func fileName(name string) error {
	if err := text("file name", name); err != nil {
		return err
	}
	if name == "" || strings.ContainsAny(name, `/\:`) || strings.Trim(name, ". ") != name {
		return refused("file name", "Give a plain name, as roof-1.jpg",
			"%s is none: a name has no slash, backslash or colon, and no dot or space at its ends", quoted(name))
	}
	return nil
}

func stateID(s string) bool {
	for _, c := range []byte(s) {
		if (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && c != '.' && c != '_' && c != '-' {
			return false
		}
	}
	return len(s) > 0 && len(s) <= MostStateID
}

// quoted is a text that may be anything, fit to stand in a line.
func quoted(s string) string {
	const most = 40
	if len(s) > most {
		s = s[:most] + "…"
	}
	return fmt.Sprintf("%q", s)
}

// Kept is a time as a store keeps it: UTC, to the millisecond.
func Kept(t time.Time) time.Time { return time.UnixMilli(t.UnixMilli()).UTC() }
