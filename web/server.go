package web

import (
	"context"
	"log/slog"
	"net"
	"net/http"
	"time"

	"gelwright/document"
	"gelwright/office"
	"gelwright/people"
	"gelwright/plan"
	"gelwright/store"
	"gelwright/work"
)

// How long a connection may take. A long body is an import, a long answer the papers of a hall on a slow machine.
const (
	headTimeout   = 10 * time.Second
	bodyTimeout   = 5 * time.Minute
	answerTimeout = 5 * time.Minute
	idleTimeout   = 2 * time.Minute
	// endTimeout is how long requests under way may take once the program is told to end.
	endTimeout   = 5 * time.Second
	mostHeadSize = 32 << 10
)

// Server answers for one folder of jobs. Its fields are set before the first request and not changed.
type Server struct {
	// Version is what 'gelwright --version' says.
	Version string
	// Log is told of every answer, and of what went wrong within the program.
	Log *slog.Logger
	// Watch is told of every answer too; nil for nobody.
	Watch Watcher

	// Jobs are where jobs are kept.
	Jobs store.Store
	// People are where accounts and what was done are kept.
	People people.Keeper
	// PasswordCost is what a guess at a password costs; the zero Cost is people.UsualCost.
	PasswordCost people.Cost
	// Office keeps the office's sheets; where it is nil Jobs does it.
	Office office.Keeper
	// Accounts says that whoever asks must be known; without, this computer asks, with the rights of the owner.
	Accounts bool
	// Network is how the server stands on a network; nil is in the clear, on this computer alone.
	Network *Network
	// Work is what is done behind the page; nil is nothing.
	Work *work.Queue
	// Now is the clock by which things are kept; nil is that of this computer.
	Now func() time.Time

	// door lets people in.
	door *people.Door

	limits *limits

	files *files
	// description is the API's.
	description []byte
	plans       *kept[*plan.Plan]
	roofs       *kept[*office.Roof]
	drawn       *kept[[]document.File]
}

// What is kept of plans and papers: those of the alternatives of a survey, and bytes of papers. Those of a hall are some 10 MB, of a
// garage some 2: when an office reads the papers of a dozen roofs in turn, none is drawn twice.
const (
	keptPlans  = 12
	keptPapers = 128 << 20
	// plansAtOnce are made at once; more wait in line.
	plansAtOnce = 2
)

// bytesOf is how long papers are together.
func bytesOf(papers []document.File) int {
	n := 0
	for _, f := range papers {
		n += len(f.Content)
	}
	return n
}

// New makes a server ready to answer.
func New(s Server) (*Server, error) {
	var err error
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	if desk, ok := s.Jobs.(office.Keeper); ok && s.Office == nil {
		s.Office = desk
	}
	if s.Now == nil {
		s.Now = time.Now
	}
	if s.PasswordCost == (people.Cost{}) {
		s.PasswordCost = people.UsualCost
	}
	s.door = people.NewDoor(s.People, s.Now, s.PasswordCost)
	slots := make(chan struct{}, plansAtOnce)
	s.roofs = keep[*office.Roof](keptRoofs, slots)
	s.plans, s.drawn = keep[*plan.Plan](keptPlans, slots), keepBy(keptPapers, bytesOf, slots)
	if s.description, err = Description(); err != nil {
		return nil, err
	}
	s.files, err = readFiles(pageFolder, engineFolder)
	return &s, err
}

// Handler is everything that the server answers.
func (s *Server) Handler() http.Handler { return s.watched(s.guard(s.nowhere(s.mux()))) }

// server is a handler with the patience that connections have.
func (s *Server) server(life context.Context, h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: headTimeout, ReadTimeout: bodyTimeout, WriteTimeout: answerTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: mostHeadSize, ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
		BaseContext: func(net.Listener) context.Context { return life }}
}

type versionAnswer struct {
	Body struct {
		Version string `json:"version" doc:"What 'gelwright --version' says"`
		Page    string `json:"page" doc:"The version of the page, which stands in the addresses of its parts"`
		Engine  bool   `json:"engine" doc:"Whether the engine for browsers is in the program"`
	}
}

// version says what program answers.
func (s *Server) version(context.Context, *struct{}) (*versionAnswer, error) {
	var a versionAnswer
	a.Body.Version, a.Body.Page, a.Body.Engine = s.Version, s.files.version, s.files.engine
	return &a, nil
}
