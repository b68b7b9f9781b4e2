package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Version of the form of events. Events of an older version are read for ever.
const Version = 1

// What happened.
type What string

// The kinds of events. A reader keeps a kind that it does not know, and says so.
const (
	Mixed      What = "mixed"       // catalyst went into a bucket
	Laid       What = "laid"        // a bucket is on the roof
	Gelled     What = "gelled"      // what was left of a bucket has gelled
	Hard       What = "hard"        // what was laid of it bears a finger-nail
	Spilt      What = "spilt"       // some of a bucket, or of a drum, was spilt
	ThrownAway What = "thrown away" // some of a bucket was not laid
	Reading    What = "reading"     // an instrument or an eye said something
	Hold       What = "hold"        // a hold point was passed: by a reading, or by a signed reason
	Note       What = "note"        // a sentence, or a photo
	Corrected  What = "corrected"   // the facts of an event are others; the first ones stay readable
	TakenBack  What = "taken back"  // an event did not happen
	Received   What = "received"    // a server has an event of a device, and when, by its own clock
)

// ID names an event: the device that made it, and the how manieth of that device it is.
type ID struct {
	Device string
	Number int
}

// String is "0123456789abcdef-7".
func (i ID) String() string { return fmt.Sprintf("%s-%d", i.Device, i.Number) }

// Facts are what an event says; which are wanted depends on its kind.
type Facts struct {
	// Of is the id of the event that this one is about: corrected, taken back, received.
	Of string `json:"of,omitempty"`
	// Bucket of the plan, counted from 1.
	Bucket int `json:"bucket,omitempty"`
	// KG of resin that were mixed, spilt, thrown away, or left in the bucket when it gelled.
	KG float64 `json:"kg,omitempty"`
	// CatalystML that went in.
	CatalystML float64 `json:"catalyst_ml,omitempty"`
	// ResinC in its pail, DeckC of the surface when it was mixed, °C; left out where nobody measured.
	ResinC *float64 `json:"resin_c,omitempty"`
	DeckC  *float64 `json:"deck_c,omitempty"`
	// Measure is what was read ("deck moisture", "humidity", "hardness"), Value and Unit what it said.
	Measure string   `json:"measure,omitempty"`
	Value   *float64 `json:"value,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	// Hold is the number of a hold point, Reason why it was passed without a reading, signed by the event's Who.
	Hold   int    `json:"hold,omitempty"`
	Reason string `json:"reason,omitempty"`
	// Batch of resin or catalyst, as the drum says it.
	Batch string `json:"batch,omitempty"`
	// Text of a note; Photo is the SHA-256 of a picture's bytes.
	Text  string `json:"text,omitempty"`
	Photo string `json:"photo,omitempty"`
}

// Event is one thing that happened, as the device that it was told to wrote it down.
type Event struct {
	Version int `json:"version"`
	// Job is the name under which the roof's record runs.
	Job string `json:"job"`
	// Device made the event, Number is its how manieth, counted from 1.
	Device string `json:"device"`
	Number int    `json:"number"`
	// Order is greater than that of every event which the device had seen: what came after something stands after it, however wrong
	// the clocks are. Events of one order came unseen by one another.
	Order int `json:"order"`
	// Before is the hash of the device's event before this, empty for its first.
	Before string `json:"before"`
	// At is the time by the device's clock, RFC 3339 with the offset of its zone.
	At string `json:"at"`
	// Who says so, as he wrote his name.
	Who   string `json:"who"`
	What  What   `json:"what"`
	Facts Facts  `json:"facts"`

	// hash of the bytes, and the bytes themselves: they are what is kept, so that no reader has to write an event as another did.
	hash string
	raw  []byte
}

// ID of the event.
func (e *Event) ID() ID { return ID{e.Device, e.Number} }

// Hash of the event's bytes, SHA-256 in hexadecimal.
func (e *Event) Hash() string { return e.hash }

// Line is the event as it stands in a record: its hash, a blank, its bytes.
func (e *Event) Line() string { return e.hash + " " + string(e.raw) }

// Fault is what is wrong with an event, and where.
type Fault struct {
	// Line of the record, counted from 1; 0 where there is none.
	Line int `json:"line,omitempty"`
	// Event is the id, where it could be read.
	Event string `json:"event,omitempty"`
	Says  string `json:"says"`
}

func (f Fault) Error() string {
	where := ""
	if f.Line > 0 {
		where = fmt.Sprintf("line %d: ", f.Line)
	}
	if f.Event != "" {
		where += f.Event + ": "
	}
	return where + f.Says
}

var (
	device = regexp.MustCompile(`^[0-9a-f]{16}$`)
	digest = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

// MostBytes of one event: a note is no book.
const MostBytes = 16 << 10

// Read takes one line of a record: "HASH {…}". That the hash is the bytes' own is told here, that they follow one another by [Set].
func Read(line string) (*Event, error) {
	line = strings.TrimRight(line, "\r\n")
	if len(line) > MostBytes {
		return nil, Fault{Says: fmt.Sprintf("the line has %d bytes, an event at most %d", len(line), MostBytes)}
	}
	sum, raw, ok := strings.Cut(line, " ")
	if !ok || !digest.MatchString(sum) {
		return nil, Fault{Says: "a line is the event's hash, 64 letters of 0-9 and a-f, a blank, and the event as JSON"}
	}
	var e Event
	d := json.NewDecoder(strings.NewReader(raw))
	if err := d.Decode(&e); err != nil {
		return nil, Fault{Says: "this is not the JSON of an event: " + err.Error()}
	}
	if rest := strings.TrimSpace(raw[d.InputOffset():]); rest != "" {
		return nil, Fault{Event: e.ID().String(), Says: "something follows the event: one stands on a line"}
	}
	e.hash, e.raw = sum, []byte(raw)
	if own := hashOf(e.raw); own != sum {
		return nil, Fault{Event: e.ID().String(),
			Says: "the event was changed: its bytes hash to " + own[:12] + "…, written is " + sum[:12] + "…"}
	}
	if err := e.sound(); err != nil {
		return nil, err
	}
	return &e, nil
}

func hashOf(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// seal writes the event down and hashes it.
func (e *Event) seal() error {
	if err := e.sound(); err != nil {
		return err
	}
	var b bytes.Buffer
	w := json.NewEncoder(&b)
	w.SetEscapeHTML(false)
	if err := w.Encode(e); err != nil {
		return Fault{Event: e.ID().String(), Says: err.Error()}
	}
	e.raw = bytes.TrimRight(b.Bytes(), "\n")
	if len(e.raw) > MostBytes-65 {
		return Fault{Event: e.ID().String(),
			Says: fmt.Sprintf("the event has %d bytes, at most %d are kept: say it shorter", len(e.raw), MostBytes-65)}
	}
	e.hash = hashOf(e.raw)
	return nil
}

// sound says whether the event can be what it says.
func (e *Event) sound() error {
	no := func(says string, values ...any) error {
		return Fault{Event: e.ID().String(), Says: fmt.Sprintf(says, values...)}
	}
	f := &e.Facts
	switch {
	case e.Version < 1 || e.Version > Version:
		return no("it is of version %d, this program reads up to %d: take a newer program", e.Version, Version)
	case e.Job == "":
		return no("job: the name of the roof's record is missing")
	case !device.MatchString(e.Device):
		return no("device: %q is not 16 letters of 0-9 and a-f", e.Device)
	case e.Number < 1:
		return no("number: %d; a device counts its events from 1", e.Number)
	case e.Order < e.Number:
		return no("order: %d stands before the device's own %d events", e.Order, e.Number)
	case (e.Number == 1) != (e.Before == ""):
		return no("before: the hash of the event before is there for every event but a device's first")
	case e.Before != "" && !digest.MatchString(e.Before):
		return no("before: %q is no hash", e.Before)
	case strings.TrimSpace(e.Who) == "":
		return no("who: nobody says so; a name is wanted")
	}
	if _, err := time.Parse(time.RFC3339, e.At); err != nil {
		return no("at: %q is no time like 2026-05-12T08:40:00+01:00", e.At)
	}
	return f.sound(e.What, no)
}

// sound says whether the facts are those that a kind wants. What a later version's kind wants is not known here.
func (f *Facts) sound(what What, no func(string, ...any) error) error {
	if says := f.outOfRange(); says != "" {
		return no("%s", says)
	}
	if lacks, ok := kinds[what]; ok {
		if says := lacks(f); says != "" {
			return no("%s: %s", what, says)
		}
	}
	return nil
}

// outOfRange says which figure is none of a roof's.
func (f *Facts) outOfRange() string {
	switch {
	case !(f.KG >= 0 && f.KG <= 1000): // neither is what is no number
		return fmt.Sprintf("kg: %g kg is no bucket", f.KG)
	case !(f.CatalystML >= 0 && f.CatalystML <= 50000):
		return fmt.Sprintf("catalyst_ml: %g ml is no dose", f.CatalystML)
	case f.Value != nil && !(*f.Value >= -1e12 && *f.Value <= 1e12):
		return fmt.Sprintf("value: %g is no reading", *f.Value)
	case f.Bucket < 0:
		return fmt.Sprintf("bucket: %d; buckets are counted from 1", f.Bucket)
	case f.Photo != "" && !digest.MatchString(f.Photo):
		return fmt.Sprintf("photo: %q is not the SHA-256 of a picture", f.Photo)
	}
	for _, x := range []struct {
		name string
		c    *float64
	}{{"resin_c", f.ResinC}, {"deck_c", f.DeckC}} {
		if x.c != nil && !(*x.c >= -40 && *x.c <= 110) {
			return fmt.Sprintf("%s: %g °C is no roof's", x.name, *x.c)
		}
	}
	return ""
}

// when says what is wanted where it is not there.
func when(missing bool, says string) string {
	if missing {
		return says
	}
	return ""
}

func needsBucket(f *Facts) string { return when(f.Bucket == 0, "bucket is wanted") }

func needsKG(f *Facts) string {
	return when(f.KG == 0, "kg is wanted, and bucket where it came from one")
}

func needsOther(f *Facts) string { return when(f.Of == "", "of, the id of the other event, is wanted") }

// kinds are what each kind of event wants.
var kinds = map[What]func(*Facts) string{
	Mixed: func(f *Facts) string {
		return when(f.Bucket == 0 || f.KG == 0 || f.CatalystML == 0, "bucket, kg and catalyst_ml are wanted")
	},
	Laid: needsBucket, Gelled: needsBucket, Hard: needsBucket, Spilt: needsKG, ThrownAway: needsKG,
	Reading: func(f *Facts) string {
		return when(f.Measure == "" || f.Value == nil || f.Unit == "", "measure, value and unit are wanted")
	},
	Hold: func(f *Facts) string {
		read := f.Value != nil && f.Unit != ""
		return when(f.Hold == 0 || read == (f.Reason != ""), "its number is wanted, and a reading (value, unit) or a reason, one of the two")
	},
	Note:      func(f *Facts) string { return when(f.Text == "" && f.Photo == "", "text or photo is wanted") },
	Corrected: needsOther, TakenBack: needsOther, Received: needsOther,
}

// names are the kinds that may be written, for who asked for another.
func names() string {
	list := make([]string, 0, len(kinds))
	for k := range kinds {
		if k != Received {
			list = append(list, string(k))
		}
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}
