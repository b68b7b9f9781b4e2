package web

import (
	"context"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"

	"gelwright/document"
	"gelwright/office"
	"gelwright/people"
	"gelwright/plan"
	"gelwright/store"
)

// links lists the links of a job that live.
func (s *Server) links(ctx context.Context, q *JobAsked) (*passesAnswer, error) {
	if _, err := s.Jobs.Get(ctx, q.ID); err != nil {
		return nil, err
	}
	return s.passes(ctx, people.Passes{Job: string(q.ID), Kind: people.Link})
}

type newLinkAsked struct {
	JobAsked
	Body struct {
		Name string    `json:"name" doc:"The customer's name"`
		Ends time.Time `json:"ends" doc:"When it ends: two years on at most"`
	}
}

// newLink makes a link that shows a customer this job.
func (s *Server) newLink(ctx context.Context, q *newLinkAsked) (*secretAnswer, error) {
	if _, err := s.Jobs.Get(ctx, q.ID); err != nil {
		return nil, err
	}
	a := askingOf(ctx)
	return secretOf(s.door.MakeLink(ctx, a.visit, a.actor, string(q.ID), q.Body.Name, q.Body.Ends))
}

type linkAsked struct {
	JobAsked
	Link string `path:"link" doc:"The id of a link, as the list has it"`
}

// endLink ends a customer's link.
func (s *Server) endLink(ctx context.Context, q *linkAsked) (*doneAnswer, error) {
	a := askingOf(ctx)
	return done(s.door.EndPass(ctx, a.visit, a.actor, people.Passes{ID: q.Link, Job: string(q.ID), Kind: people.Link}, ""))
}

type showAsked struct {
	JobAsked
	Name string `path:"name"`
	Body struct {
		Shown bool `json:"shown" doc:"Whether the customer may see it"`
	}
}

// showFile has the customer of a job see one of its photos, or no longer.
func (s *Server) showFile(ctx context.Context, q *showAsked) (*doneAnswer, error) {
	if _, err := s.Jobs.Get(ctx, q.ID); err != nil {
		return nil, err
	}
	files, err := s.Jobs.Files(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		if f.Name == q.Name && !photo(f.MediaType) {
			return nil, asked("photo", "name", "Choose a photo: jpeg, png, webp or gif", "%s is none", q.Name)
		}
	}
	a := askingOf(ctx)
	kind := people.PhotoShown
	if !q.Body.Shown {
		kind = people.PhotoHidden
	}
	deed := people.Deed{When: s.Now(), Kind: kind, By: a.actor.ID, ByName: a.actor.Name, About: q.Name, Job: string(q.ID), From: a.visit.From,
		Device: a.visit.Device}
	return done(s.People.ShowFile(ctx, string(q.ID), q.Name, q.Body.Shown, deed))
}

type shownAnswer struct {
	Body struct {
		Shown []string `json:"shown" doc:"The names of the photos that the customer may see"`
	}
}

// shownFiles names the photos of a job that its customer may see.
func (s *Server) shownFiles(ctx context.Context, q *JobAsked) (*shownAnswer, error) {
	if _, err := s.Jobs.Get(ctx, q.ID); err != nil {
		return nil, err
	}
	names, err := s.People.Shown(ctx, string(q.ID))
	if err != nil {
		return nil, err
	}
	out := &shownAnswer{}
	out.Body.Shown = names
	return out, nil
}

func photo(media string) bool { return strings.HasPrefix(media, "image/") && shown[media] }

// openLink gives a browser the cookie by which it is shown the job of a link: the secret stands behind the # of the link's address,
// and in no address that is sent. ASVS 14.2.1.
func (s *Server) openLink(ctx context.Context, q *invitationAsked) (*cookieAnswer, error) {
	p, err := s.door.OpenLink(ctx, askingOf(ctx).visit, q.Body.Secret)
	if err != nil {
		return nil, err
	}
	out := &cookieAnswer{SetCookie: cookieOf(linkCookie, q.Body.Secret, p.Ends.Sub(s.Now()))}
	out.Body.Done = true
	return out, nil
}

// customersPapers are the papers that a customer is shown, where the roof has a plan.
const (
	carePaper    = "care.pdf"
	drawingPaper = "drawing.svg"
)

type customerAnswer struct {
	Body struct {
		Title  string    `json:"title"`
		Site   string    `json:"site"`
		For    string    `json:"for" doc:"The customer's name"`
		Ends   time.Time `json:"ends" doc:"When the link ends"`
		Days   []string  `json:"days" doc:"The days on which the office has a crew on the roof, as 2026-05-13; none while it has fixed none"`
		Papers []string  `json:"papers" doc:"Names of papers: the care sheet, the drawing of the roof"`
		Photos []string  `json:"photos" doc:"Names of the photos that were chosen for the customer"`
	}
}

// customer is what a customer is shown of his job: nothing of prices, crews or other jobs.
func (s *Server) customer(ctx context.Context, _ *struct{}) (*customerAnswer, error) {
	a := askingOf(ctx)
	id := store.ID(a.actor.Job)
	j, err := s.Jobs.Get(ctx, id)
	if err != nil {
		return nil, err
	}
	out := &customerAnswer{}
	out.Body.Title, out.Body.Site, out.Body.For, out.Body.Ends = j.Title, j.Site, a.actor.Name, a.pass.Ends
	out.Body.Papers = []string{}
	if out.Body.Days, err = s.daysFor(ctx, id); err != nil {
		return nil, err
	}
	if _, err := s.customersPlan(ctx, id); err == nil {
		out.Body.Papers = []string{drawingPaper, carePaper}
	} else if problemOf(err).status != http.StatusUnprocessableEntity {
		return nil, err
	}
	out.Body.Photos, err = s.People.Shown(ctx, string(id))
	return out, err
}

// customersPlan is the plan of the newest state of a job.
func (s *Server) customersPlan(ctx context.Context, id store.ID) (*plan.Plan, error) {
	j, err := s.Jobs.Get(ctx, id)
	if err != nil {
		return nil, err
	}
	b, err := s.basisOf(ctx, id, j.Newest)
	if err != nil {
		return nil, err
	}
	return s.plan(ctx, b)
}

// daysFor are the dates on which the office has a crew on a job, in order: what a plan proposes is nobody's promise.
func (s *Server) daysFor(ctx context.Context, id store.ID) ([]string, error) {
	sheets, err := s.Office.Sheets(ctx, office.Ask{Kind: office.KindDay, Job: id})
	if err != nil {
		return nil, err
	}
	days := []string{}
	for _, d := range office.BookedOf(sheets) {
		days = append(days, d.Date)
	}
	slices.Sort(days)
	return slices.Compact(days), nil
}

type customersFileAsked struct {
	Seen
	Name string `path:"name"`
}

// customersPaper gives a paper that is meant for the customer.
func (s *Server) customersPaper(ctx context.Context, q *customersFileAsked) (*fileAnswer, error) {
	p, err := s.customersPlan(ctx, store.ID(actorOf(ctx).Job))
	if err != nil {
		return nil, err
	}
	var f document.File
	switch q.Name {
	case carePaper:
		f, err = document.Care(ctx, p)
	case drawingPaper:
		f, err = document.Drawing(p)
	default:
		return nil, unknown(q.Name, "The page of your roof names them all", "there is no such paper")
	}
	if err != nil {
		return nil, err
	}
	return q.file(sent{name: q.Name, media: paperMedia[path.Ext(q.Name)], content: f.Content, policy: inlinePolicy(f)}), nil
}

// customersPhoto gives a photo that was chosen for the customer.
func (s *Server) customersPhoto(ctx context.Context, q *customersFileAsked) (*fileAnswer, error) {
	job := actorOf(ctx).Job
	names, err := s.People.Shown(ctx, job)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(names, q.Name) {
		return nil, unknown(q.Name, "The page of your roof names them all", "there is no such photo")
	}
	f, content, err := s.Jobs.ReadFile(ctx, store.ID(job), q.Name)
	if err != nil {
		return nil, err
	}
	return q.file(sent{name: f.Name, media: f.MediaType, content: content, policy: sealed}), nil
}
