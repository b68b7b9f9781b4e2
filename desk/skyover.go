package desk

import (
	"context"
	"fmt"
	"sync"
	"time"

	"gelwright/conduction"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/steps"
	"gelwright/weather"
)

// sky is the weather of a question: its courses from one time to another, with what was assumed of them. It is not changed after it
// is made.
type sky struct {
	weather.Forecast
	from, to time.Time
	notes    []string
}

// place is a site by its values: the same place whoever asks.
type place struct {
	LatDeg, LonDeg, ElevM, WindFactor, GroundAlbedo float64
	Zone                                            string
}

func placeOf(s weather.Site) place {
	return place{s.LatDeg, s.LonDeg, s.ElevM, s.WindFactor, s.GroundAlbedo, s.Zone.String()}
}

// skyInput is what the weather of a question follows from where forecast and look are the same.
type skyInput struct {
	Place place
	Date  string
}

// skyOver is the weather over a job, filled, corrected and drawn as the look asks for.
func skyOver(ctx context.Context, j *roof.Job, f weather.Forecast, site weather.Site, look Look, kept *steps.Cache) (*sky, error) {
	key := skyInput{Place: placeOf(site)}
	if look.From == "" && look.At.IsZero() {
		key.Date = j.Date // the day to begin with
	}
	return keeping(ctx, kept, "weather", key, func() (*sky, error) {
		if err := doubt(&f, site, look); err != nil {
			return nil, err
		}
		filled, err := f.Fill(site)
		if err != nil {
			return nil, as(Faulty, err)
		}
		s := &sky{Forecast: backTo(filled, look.Since)}
		s.correct(site, look)
		if s.from, s.to, err = stretch(j, &s.Forecast, site.Zone, look); err != nil {
			return nil, err
		}
		return s, s.draw(site.Zone, look)
	})
}

// draw makes courses of the weather round a single forecast and takes no more than can be searched; it keeps the forecast's notes and
// credit.
func (s *sky) draw(zone *time.Location, look Look) error {
	issued, courses := s.Issued, look.Courses
	if issued.IsZero() {
		issued = s.from
		if look.At.After(s.from) {
			day := look.At.In(zone)
			issued = time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
		}
	}
	if len(s.Members) == 1 && courses > 1 && !s.Members[0].Norms {
		notes, credit := s.Notes, s.Credit
		single := s.Members[0].Part(s.from.Add(-24*time.Hour), s.to)
		var err error
		if s.Forecast, err = single.Members(issued, min(courses, programme.MostMembers), look.errors()); err != nil {
			return as(Asked, err)
		}
		s.Notes, s.Credit = append(notes[:len(notes):len(notes)], s.Notes...), credit
	}
	if len(s.Members) > programme.MostMembers {
		s.notes = append(s.notes, fmt.Sprintf("the first %d of %d members are used", programme.MostMembers, len(s.Members)))
		s.Members = s.Members[:programme.MostMembers]
	}
	s.notes = append(append(s.notes, s.Notes...), s.Members[0].Notes...)
	return nil
}

// deckInput is what the weather on a deck follows from where forecast and look are the same.
type deckInput struct {
	Place       place
	Layers      []conduction.Layer
	Absorptance float64
	Room        weather.Room
	From, To    int64
}

// deck is the weather on a deck, and what the roofs have in common that are worked on under it.
type deck struct {
	making  sync.Mutex
	courses [][]weather.Moment
	common  programme.Common
}

// onDeck lays the weather of a question on the deck of a job. Where it is kept, whoever comes while another lays it waits for it.
func (s *sky) onDeck(ctx context.Context, j *roof.Job, site weather.Site, kept shelves) (*deck, error) {
	surface, _ := works.SurfaceOf(j, site)
	key := deckInput{placeOf(site), surface.Layers, surface.Absorptance, surface.Room, s.from.UnixNano(), s.to.UnixNano()}
	d, err := kept.deck(ctx, key)
	if err != nil {
		return nil, err
	}
	d.making.Lock()
	defer d.making.Unlock()
	if d.courses == nil {
		d.courses, err = works.Courses(ctx, s.Forecast, surface, s.from, s.to)
	}
	return d, err
}

// deck is the one that is kept for an input, made or not.
func (k *shelves) deck(ctx context.Context, key deckInput) (*deck, error) {
	if k.taking != nil {
		k.taking.Lock()
		defer k.taking.Unlock()
	}
	return keeping(ctx, k.decks, "weather on the deck", key, func() (*deck, error) { return &deck{}, nil })
}
